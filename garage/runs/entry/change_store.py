"""Changing a run already written: filling a blank is free, what stood there is kept as a correction."""

import json
from collections.abc import Iterable, Sequence

from sqlmodel import Session, select

from garage.corrections.store import add_corrections
from garage.db.in_ids import rows_by_ids
from garage.errors import NotFound
from garage.fields.forms import held
from garage.moments import Moment
from garage.packs.store import pack_texts, set_aside_run_discharges
from garage.props.store import edition_texts
from garage.runs.entry.written import stored_text
from garage.runs.fields import PACK_FIELDS, run_fields
from garage.runs.form_data import IncidentFormData, PackUse, PropUse, RunFormData, TemperatureFormData
from garage.runs.lines.missing import missing
from garage.runs.store import (
    add_incidents,
    add_props,
    add_temperatures,
    cells_of,
    packs_of,
    props_of,
    put_packs,
    run,
    temperatures_of,
)
from garage.runs.tables import Incident, Run, RunPack, RunProp, RunTemperature

_PACK_COLUMNS = tuple(field.column for field in PACK_FIELDS if field.name != "wiring")


def form_of(session: Session, kept: Run) -> RunFormData:
    """A run as it is written now; its incidents are left out, since they are set aside one by one."""
    return forms_of(session, [kept])[kept.id]


def forms_of(session: Session, runs: Sequence[Run]) -> dict[int, RunFormData]:
    """Some runs as they are written now, by id."""
    ids = [kept.id for kept in runs]
    props, packs, temperatures = props_of(session, ids), packs_of(session, ids), temperatures_of(session, ids)
    return {
        kept.id: RunFormData(
            hull_id=kept.hull_id,
            outing_id=kept.outing_id,
            facts=held(run_fields(), kept),
            started=Moment(kept.started_at, kept.offset_min) if kept.start_time_known else None,
            props=tuple(PropUse(use.edition_id, use.place) for use in props[kept.id]),
            packs=tuple(pack_use(use) for use in packs[kept.id]),
            temperatures=tuple(temperature(row) for row in temperatures[kept.id]),
        )
        for kept in runs
    }


def pack_use(row: RunPack) -> PackUse:
    """A pack of a run as it is written now."""
    volts = tuple(json.loads(row.volts_after)) if row.volts_after else ()
    return PackUse(row.pack_id, row.wiring, row.start_temperature_c, row.rested_v, row.charge_mah, row.end_v, volts)


def temperature(row: RunTemperature) -> TemperatureFormData:
    """A reading as it is written now."""
    told = (row.spot, row.temperature_c, row.seconds_after, row.place, row.pack_id, row.note)
    return TemperatureFormData(*told, row_id=row.id)


def change_run(
    session: Session, run_id: int, new: RunFormData, why: str, at: Moment, was: RunFormData | None = None
) -> Run:
    """Write a run anew as `new`; its hull, outing and build state stay; `was` is how it stood, if that was read.
    Raises NotFound.

    The caller has looked for clashes (`validate_store.problems`).
    """
    kept = run(session, run_id)
    old = was or form_of(session, kept)
    ledger = _Ledger(session, run_id, why, at)
    for column, value in new.facts.items():
        ledger.note(column, old.facts[column], value)
        setattr(kept, column, value)
    _change_start(kept, old, new, ledger)
    session.add(kept)
    if set(old.props) != set(new.props):
        _change_props(session, run_id, old.props, new.props, ledger)
    if (old.packs, old.temperatures, old.started) != (new.packs, new.temperatures, new.started):
        _change_packs(session, kept, old.packs, new, ledger)
    if old.temperatures != new.temperatures:
        _change_temperatures(session, run_id, old.temperatures, new.temperatures, ledger)
    ledger.keep()
    add_incidents(session, run_id, new.incidents)
    kept.cells_s = cells_of(session, new.packs)
    kept.waiting = is_waiting(kept, new)
    session.flush()
    return kept


def is_waiting(kept: Run, form: RunFormData) -> bool:
    """Whether the evening still asks for something of a run."""
    lacking = missing(form.facts, form.packs, len(form.temperatures), len(form.props))
    return bool(lacking) and kept.waved_away_at is None and kept.set_aside_at is None


class _Ledger:
    """Notes what stood in a run before it was changed."""

    def __init__(self, session: Session, run_id: int, why: str, at: Moment) -> None:
        self._session, self._run_id, self._why, self.at = session, run_id, why, at
        self._noted: list[tuple[str, str, str]] = []

    def note(self, field: str, old: object, new: object) -> None:
        """Record the change of a field that was not blank."""
        if old != new and old is not False and old not in (None, "", ()):
            self._noted.append((field, stored_text(old), stored_text(new)))

    def keep(self) -> None:
        """Write down what was noted."""
        add_corrections(self._session, "run", self._run_id, self._noted, self._why, self.at)


def _change_start(kept: Run, old: RunFormData, new: RunFormData, ledger: _Ledger) -> None:
    if new.started is None or new.started == old.started:
        return
    if old.started:
        ledger.note("started_at", old.started.local_text(), new.started.local_text())
    kept.started_at, kept.offset_min, kept.start_time_known = new.started.utc, new.started.offset_min, True


def _change_props(
    session: Session, run_id: int, old: Iterable[PropUse], new: Iterable[PropUse], ledger: _Ledger
) -> None:
    names = edition_texts(session, {use.edition_id for use in (*old, *new)})

    def words(uses: Iterable[PropUse]) -> str:
        return "; ".join(
            (f"{use.place}: " if use.place != "single" else "") + names[use.edition_id].text for use in uses
        )

    ledger.note("prop", words(old), words(new))
    rows = {use.place: session.get_one(RunProp, {"run_id": run_id, "place": use.place}) for use in old}
    for use in new:
        if use.place in rows:
            rows.pop(use.place).edition_id = use.edition_id
        else:
            add_props(session, run_id, [use])
    for row in rows.values():
        session.delete(row)


def _change_packs(session: Session, kept: Run, old: tuple[PackUse, ...], form: RunFormData, ledger: _Ledger) -> None:
    new, start = form.packs, Moment(kept.started_at, kept.offset_min)
    names = pack_texts(session, {use.pack_id for use in (*old, *new)})
    before = {use.pack_id: use for use in old}
    if {(use.pack_id, use.wiring) for use in old} != {(use.pack_id, use.wiring) for use in new}:
        ledger.note("packs", *(_pack_words(uses, names) for uses in (old, new)))
    for use in new:
        was = before.get(use.pack_id, PackUse(use.pack_id))
        for column in _PACK_COLUMNS:
            ledger.note(f"pack {names[use.pack_id].code}: {column}", getattr(was, column), getattr(use, column))
    known = {one: session.get_one(RunPack, {"run_id": kept.id, "pack_id": one}) for one in before}
    put_packs(session, kept.id, start, new, form.temperatures, known, ledger.at.utc)
    if kept.set_aside_at:
        set_aside_run_discharges(session, kept.id, kept.set_aside_at)


def _pack_words(uses: Iterable[PackUse], names: dict) -> str:
    return " + ".join(names[use.pack_id].code + (f" ({use.wiring})" if use.wiring != "single" else "") for use in uses)


def _change_temperatures(
    session: Session,
    run_id: int,
    old: tuple[TemperatureFormData, ...],
    new: tuple[TemperatureFormData, ...],
    ledger: _Ledger,
) -> None:
    for number, was in enumerate(old):
        now = new[number] if number < len(new) else None
        if now != was:
            ledger.note(f"temperature {number + 1}", _reading_words(was), _reading_words(now) if now else "")
    rows = rows_by_ids(session, RunTemperature, [was.row_id for was in old])
    for was, now in zip(old, new, strict=False):
        rows[was.row_id].sqlmodel_update(now.columns)
    for was in old[len(new) :]:
        session.delete(rows[was.row_id])
    add_temperatures(session, run_id, new[len(old) :], len(old))


def _reading_words(reading: TemperatureFormData) -> str:
    after = f", {reading.seconds_after:g} s after" if reading.seconds_after is not None else ""
    return f"{reading.spot} {reading.temperature_c:g} °C{after}"


def set_run_aside(session: Session, run_id: int, at: str | None, reason: str = "") -> Run:
    """Take a run out of all records, its discharge out of the packs' counts; back with None."""
    kept = run(session, run_id)
    kept.set_aside_at, kept.set_aside_reason = at, reason
    written = form_of(session, kept)
    kept.waiting = is_waiting(kept, written)
    # Not all of the run: a pack that was swapped out of it keeps its entry set aside.
    set_aside_run_discharges(session, run_id, at, {use.pack_id for use in written.packs})
    session.add(kept)
    return kept


def wave_away(session: Session, run_id: int, at: str | None) -> Run:
    """Stop asking for what a run lacks, or ask again with None."""
    kept = run(session, run_id)
    kept.waved_away_at = at
    kept.waiting = is_waiting(kept, form_of(session, kept))
    session.add(kept)
    return kept


def add_incident(session: Session, run_id: int, incident: IncidentFormData) -> None:
    """Write down something that happened in a run. Raises NotFound."""
    run(session, run_id)
    add_incidents(session, run_id, [incident])


def set_incident_aside(session: Session, run_id: int, incident_id: int, at: str | None) -> Incident:
    """Set an incident aside, or bring it back with None. Raises NotFound."""
    found = session.exec(select(Incident).where(Incident.id == incident_id, Incident.run_id == run_id)).first()
    if found is None:
        raise NotFound("There is no such incident in this run.")
    found.set_aside_at = at
    session.add(found)
    return found
