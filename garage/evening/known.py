"""Rows of the evening table for runs already written: what differs, and whether it can be true."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from sqlmodel import Session

from garage.errors import NotFound
from garage.evening.asking import ask_row_speed, ask_temperatures, happened_in
from garage.evening.forms import read_row
from garage.hulls.store import hulls_by_ids
from garage.moments import Moment
from garage.packs.tables import Pack
from garage.runs.entry.asking import ask_pack
from garage.runs.entry.change_store import forms_of
from garage.runs.entry.forms import PropPick
from garage.runs.entry.resolve_store import check_readings, resolve_props
from garage.runs.entry.usual_store import Ran
from garage.runs.entry.write import places_of
from garage.runs.form_data import PropUse, RunFormData
from garage.runs.lines.store import PropOn, run_facts
from garage.runs.store import runs_by_ids
from garage.runs.tables import Run
from garage.web.fields import Reader

_HERE = re.compile(r"r([0-9]{1,9})_here")


def read_known(
    session: Session, outing_id: int, reader: Reader, typed: Mapping[str, str], day: Moment
) -> dict[int, tuple[RunFormData, RunFormData]]:
    """Runs whose row differs from what is written, as they were and as they should be.

    Does not raise for what was typed: finish the reader. Raises NotFound for a run of another outing.
    """
    runs = _runs_typed(session, outing_id, typed)
    forms, facts = forms_of(session, runs), run_facts(session, runs)
    boats = hulls_by_ids(session, {kept.hull_id for kept in runs})
    changed = {}
    ran: dict[int, list[Ran]] = {}
    for kept in runs:
        was, row = forms[kept.id], f"r{kept.id}"
        places, props = places_of(boats[kept.hull_id]), facts.props[kept.id]
        now = replace(read_row(reader, row, was, day), props=_known_props(session, reader, row, places, props))
        _check_packs(reader, row, was, now, {on.pack.id: on.pack for on in facts.packs[kept.id]})
        ask_temperatures(reader, row, [reading.temperature_c for reading in was.temperatures])
        if now.facts["speed_kmh"] != was.facts["speed_kmh"]:
            ask_row_speed(session, reader, row, now, kept.cells_s, ran, kept.id)
            now = replace(now, incidents=happened_in(reader, row))
        if now != was:
            changed[kept.id] = (was, now)
    return changed


def _runs_typed(session: Session, outing_id: int, typed: Mapping[str, str]) -> list[Run]:
    """The runs whose rows were sent. Raises NotFound."""
    ids = [int(found[1]) for name in typed if (found := _HERE.fullmatch(name))]
    runs = runs_by_ids(session, ids)
    if len(runs) < len(set(ids)):
        raise NotFound("There is no such run in this notebook.")
    if any(kept.outing_id != outing_id for kept in runs.values()):
        raise NotFound("That run belongs to another outing.")
    return [runs[run_id] for run_id in dict.fromkeys(ids)]


def _known_props(
    session: Session, reader: Reader, row: str, places: tuple[str, ...], was: Sequence[PropOn]
) -> tuple[PropUse, ...]:
    """The props of a row: as they were where the same code stands, in their latest edition where another does."""
    stood = {on.place: on for on in was}
    kept, picks = [], []
    for place in places:
        code = reader.text(f"{row}_prop_{place}", most=60)
        on = stood.get(place)
        if on and code == on.edition.code:
            kept.append(PropUse(on.edition.id, place))
        elif code:
            picks.append(PropPick(place, code=code))
    found = resolve_props(session, reader, picks, prefix=f"{row}_prop") if picks else []
    for pick in picks:
        words = reader.errors.pop(f"{row}_prop_{pick.place}_code", "")
        if words:
            reader.fail(f"{row}_prop_{pick.place}", words)
    uses, before = (*kept, *found), tuple(PropUse(on.edition.id, on.place) for on in was)
    return before if set(uses) == set(before) else uses


def _check_packs(reader: Reader, row: str, was: RunFormData, now: RunFormData, packs: Mapping[int, Pack]) -> None:
    """Look at what was read off packs where it differs from what stood there."""
    for stood, use in zip(was.packs, now.packs, strict=True):
        if use != stood:
            ask_pack(reader, packs[use.pack_id], use, f"{row}_p{use.pack_id}", stood)
            check_readings(reader, packs[use.pack_id], use, f"{row}_p{use.pack_id}")
