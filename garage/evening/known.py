"""Rows of the evening table for runs already written: what differs, and whether it can be true."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from sqlmodel import Session

from garage.errors import NotFound
from garage.evening.asking import ask_row_speed, ask_temperatures, happened_in
from garage.evening.forms import read_row, says_not_known
from garage.evening.packs import read_packs, swap
from garage.hulls.store import hulls_by_ids
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.packs.tables import Pack
from garage.runs.entry.asking import ask_pack
from garage.runs.entry.change_store import forms_of
from garage.runs.entry.forms import PropPick
from garage.runs.entry.resolve_store import check_readings, resolve_props
from garage.runs.entry.usual_store import Ran
from garage.runs.entry.write import places_of
from garage.runs.fields import INCIDENTS
from garage.runs.form_data import IncidentFormData, PropUse, RunFormData
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
    rows: dict[int, RunFormData] = {}
    ran: dict[int, list[Ran]] = {}
    for kept in runs:
        was, row = forms[kept.id], f"r{kept.id}"
        props = facts.props[kept.id]
        places = prop_places(boats[kept.hull_id], props)
        lost = {place for place in places if says_not_known(reader, f"{row}_prop_{place}")}
        now = read_row(reader, row, was, day)
        uses = _known_props(session, reader, row, [place for place in places if place not in lost], props)
        said = now.not_known - {"prop"} | ({"prop"} if lost else set())
        now = replace(now, props=uses, not_known=frozenset(said), incidents=_incident(reader, row))
        read, by_id = read_packs(session, reader, row, now, facts.packs[kept.id])
        _check_packs(reader, row, was, read, by_id)
        ask_temperatures(reader, row, [reading.temperature_c for reading in was.temperatures])
        if read.facts["speed_kmh"] != was.facts["speed_kmh"]:
            ask_row_speed(session, reader, row, read, kept.cells_s, ran, kept.id)
        rows[kept.id] = read
    swap(reader, forms, rows)
    return {run_id: (forms[run_id], now) for run_id, now in rows.items() if now != forms[run_id]}


def prop_places(boat: Hull, stood: Sequence[PropOn]) -> tuple[str, ...]:
    """The places that a row has a cell for: those of the boat, and any other where a prop is written already."""
    places = places_of(boat)
    return (*places, *(on.place for on in stood if on.place not in places))


def _incident(reader: Reader, row: str) -> tuple[IncidentFormData, ...]:
    """What happened in a run, as pressed; else as the question about its speed was answered."""
    kind = reader.choice(f"{row}_i_kind", INCIDENTS)
    return (IncidentFormData(kind),) if kind else happened_in(reader, row)


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
    session: Session, reader: Reader, row: str, places: Sequence[str], was: Sequence[PropOn]
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
    """Look at what was read off packs where it differs from what stood there; its cells are those of the pack that
    stood in its place."""
    cells = {place: use.pack_id for place, use in enumerate(was.packs)}
    for place, use in enumerate(now.packs):
        if use not in was.packs and use.pack_id in packs:
            at = f"{row}_p{cells.get(place, use.pack_id)}"
            ask_pack(reader, packs[use.pack_id], use, at, was.packs[place] if place in cells else None)
            check_readings(reader, packs[use.pack_id], use, at)
