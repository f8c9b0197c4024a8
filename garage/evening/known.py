"""Rows of the evening table for runs already written: what differs, and whether it can be true."""

import re
from collections.abc import Mapping
from dataclasses import replace

from sqlmodel import Session

from garage.errors import NotFound
from garage.evening.forms import read_row
from garage.hulls.store import hull as hull_by_id
from garage.moments import Moment
from garage.packs.store import pack_texts
from garage.props.store import edition_texts
from garage.runs.change_store import draft_of
from garage.runs.entry.forms import PropPick
from garage.runs.entry.resolve_store import check_readings, resolve_props
from garage.runs.entry.write import places_of
from garage.runs.form_data import PropUse, RunDraft
from garage.runs.store import run
from garage.web.fields import Reader

_HERE = re.compile(r"r([0-9]{1,9})_here")


def read_known(
    session: Session, outing_id: int, reader: Reader, typed: Mapping[str, str], day: Moment
) -> dict[int, tuple[RunDraft, RunDraft]]:
    """Runs whose row differs from what is written, as they were and as they should be.

    Does not raise for what was typed: finish the reader. Raises NotFound for a run of another outing.
    """
    changed = {}
    for name in typed:
        found = _HERE.fullmatch(name)
        if not found:
            continue
        kept = run(session, int(found[1]))
        if kept.outing_id != outing_id:
            raise NotFound("That run belongs to another outing.")
        was = draft_of(session, kept)
        row = f"r{kept.id}"
        now = replace(
            read_row(reader, row, was, day), props=_known_props(session, reader, row, kept.hull_id, was)
        )
        _check_packs(session, reader, row, was, now)
        if now != was and kept.id is not None:
            changed[kept.id] = (was, now)
    return changed


def _known_props(
    session: Session, reader: Reader, row: str, hull_id: int, was: RunDraft
) -> tuple[PropUse, ...]:
    """The props of a row: as they were where the same code stands, in their latest edition where another does."""
    stood = {use.place: use for use in was.props}
    kept, picks = [], []
    for place in places_of(hull_by_id(session, hull_id)):
        code = reader.text(f"{row}_prop_{place}", most=60)
        use = stood.get(place)
        if use and code == edition_texts(session, {use.edition_id})[use.edition_id].code:
            kept.append(use)
        elif code:
            picks.append(PropPick(place, code=code))
    found = resolve_props(session, reader, picks, prefix=f"{row}_prop")
    for pick in picks:
        words = reader.errors.pop(f"{row}_prop_{pick.place}_code", "")
        if words:
            reader.fail(f"{row}_prop_{pick.place}", words)
    uses = (*kept, *found)
    return was.props if set(uses) == set(was.props) else uses


def _check_packs(session: Session, reader: Reader, row: str, was: RunDraft, now: RunDraft) -> None:
    """Look at what was read off packs where it differs from what stood there."""
    texts = pack_texts(session, {use.pack_id for use in now.packs})
    for stood, use in zip(was.packs, now.packs, strict=True):
        if use != stood:
            check_readings(reader, texts[use.pack_id], use, f"{row}_p{use.pack_id}")
