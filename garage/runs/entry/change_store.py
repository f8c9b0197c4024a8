"""Changing a run already written: filling a blank is free, what stood there is kept as a correction."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace

from sqlmodel import Session, select

from garage.corrections.store import add_corrections
from garage.db.in_ids import rows_by_ids
from garage.errors import NotFound
from garage.fields.forms import held
from garage.moments import Moment
from garage.packs.store import pack_texts, set_aside_run_discharges
from garage.preferences.store import not_measured
from garage.runs.entry.written import stored_text
from garage.runs.fields import PACK_FIELDS, run_fields
from garage.runs.form_data import IncidentFormData, PackUse, RunFormData, TemperatureFormData
from garage.runs.lines.missing import is_waiting
from garage.runs.moves import Move, Start, packs_text, props_text, start_text
from garage.runs.moves_store import enter, put_props
from garage.runs.not_known import not_known_of, not_known_text
from garage.runs.store import (
    add_incidents,
    add_temperatures,
    cells_of,
    packs_of,
    packs_written,
    props_of,
    props_written,
    put_packs,
    run,
    temperatures_of,
    temperatures_written,
)
from garage.runs.tables import Incident, Run, RunPack, RunTemperature

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
            props=props_written(props[kept.id]),
            packs=packs_written(packs[kept.id]),
            temperatures=temperatures_written(temperatures[kept.id]),
            not_known=not_known_of(kept.not_known),
            speed_typed=kept.speed_typed,
        )
        for kept in runs
    }


def change_run(
    session: Session, run_id: int, new: RunFormData, why: str, at: Moment, was: RunFormData | None = None
) -> Run:
    """Write a run anew as `new`; its hull, outing and build state stay; `was` is how it stood, if that was read.
    Raises NotFound.

    The caller has looked for clashes (`validate_store.problems`).
    """
    kept = run(session, run_id)
    old, new = was or form_of(session, kept), new.answered
    ledger = _Ledger(session, run_id, why, at)
    if new.facts["speed_counts"] and any(one.spoiled_speed for one in new.incidents):
        # The tick at what happened is the newer word.
        new = replace(new, facts={**new.facts, "speed_counts": "does not count"})
    for column, value in new.facts.items():
        ledger.note(column, old.facts[column], value)
        setattr(kept, column, value)
    ledger.note_answer(old.not_known, new.not_known)
    kept.not_known, kept.speed_typed = not_known_text(new.not_known), new.speed_typed
    began = Start(Moment(kept.started_at, kept.offset_min), kept.start_time_known)
    begins = _begins(began, old, new)
    enter(session, _moves(run_id, old, new, began, begins), why, at)
    session.flush()
    kept.started_at, kept.offset_min = begins.moment.utc, begins.moment.offset_min
    kept.start_time_known = begins.known
    session.add(kept)
    if set(old.props) != set(new.props):
        put_props(session, run_id, old.props, new.props)
    if (old.packs, old.temperatures, old.started) != (new.packs, new.temperatures, new.started):
        _change_packs(session, kept, old.packs, new, ledger)
    if old.temperatures != new.temperatures:
        _change_temperatures(session, run_id, old.temperatures, new.temperatures, ledger)
    ledger.keep()
    add_incidents(session, run_id, new.incidents)
    if _on_board(old.packs) != _on_board(new.packs):
        kept.cells_s = cells_of(session, new.packs)
    kept.waiting = _is_waiting(session, kept, new)
    session.flush()
    return kept


def _is_waiting(session: Session, kept: Run, form: RunFormData) -> bool:
    told = (form.facts, form.packs, len(form.temperatures), len(form.props))
    return is_waiting(kept, *told, not_measured(session))


def _begins(began: Start, old: RunFormData, new: RunFormData) -> Start:
    """When the run begins by what was written. A start that nobody knows any more stays where it was, as a guess."""
    if new.started is None and "start" in new.not_known:
        return Start(began.moment, False)
    return Start(new.started, True) if new.started and new.started != old.started else began


def _moves(run_id: int, old: RunFormData, new: RunFormData, began: Start, begins: Start) -> list[Move]:
    """What the run rests on that it does not any more."""
    moves = [Move(run_id, "start", start_text(began), start_text(begins))]
    if set(old.props) != set(new.props):
        moves.append(Move(run_id, "props", props_text(old.props), props_text(new.props)))
    if _on_board(old.packs) != _on_board(new.packs):
        moves.append(Move(run_id, "packs", packs_text(old.packs), packs_text(new.packs)))
    return moves


def _on_board(packs: Iterable[PackUse]) -> set[tuple[int, str]]:
    return {(use.pack_id, use.wiring) for use in packs}


class _Ledger:
    """Notes what stood in a run before it was changed."""

    def __init__(self, session: Session, run_id: int, why: str, at: Moment) -> None:
        self._session, self._run_id, self._why, self.at = session, run_id, why, at
        self._noted: list[tuple[str, str, str]] = []

    def note(self, field: str, old: object, new: object) -> None:
        """Record the change of a field that was not blank."""
        if old != new and old is not False and old not in (None, "", ()):
            self._noted.append((field, stored_text(old), stored_text(new)))

    def note_answer(self, old: Collection[str], new: Collection[str]) -> None:
        """Record that something was said to be known by nobody, or that it is known after all."""
        if set(old) != set(new):
            self._noted.append(("not_known", not_known_text(old), not_known_text(new)))

    def keep(self) -> None:
        """Write down what was noted."""
        add_corrections(self._session, "run", self._run_id, self._noted, self._why, self.at)


def _change_packs(session: Session, kept: Run, old: tuple[PackUse, ...], form: RunFormData, ledger: _Ledger) -> None:
    new, start = form.packs, Moment(kept.started_at, kept.offset_min)
    names = pack_texts(session, {use.pack_id for use in new})
    before = {use.pack_id: use for use in old}
    for use in new:
        was = before.get(use.pack_id, PackUse(use.pack_id))
        for column in _PACK_COLUMNS:
            ledger.note(f"pack {names[use.pack_id].code}: {column}", getattr(was, column), getattr(use, column))
    known = {one: session.get_one(RunPack, {"run_id": kept.id, "pack_id": one}) for one in before}
    put_packs(session, kept.id, start, new, form.temperatures, known, ledger.at.utc)
    if kept.set_aside_at:
        set_aside_run_discharges(session, kept.id, kept.set_aside_at)


def _change_temperatures(
    session: Session,
    run_id: int,
    old: tuple[TemperatureFormData, ...],
    new: tuple[TemperatureFormData, ...],
    ledger: _Ledger,
) -> None:
    for number, was in enumerate(old):
        now = new[number] if number < len(new) else None
        if now is None or replace(now, pack_id=was.pack_id) != was:
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
    kept.waiting = _is_waiting(session, kept, written)
    # Not all of the run: a pack that was swapped out of it keeps its entry set aside.
    set_aside_run_discharges(session, run_id, at, {use.pack_id for use in written.packs})
    session.add(kept)
    return kept


def answer_speed(session: Session, run_id: int, answer: str, at: Moment) -> Run:
    """Write down whether a run's speed counts; an answer given before is kept as a correction. Raises NotFound."""
    kept = run(session, run_id)
    if kept.speed_counts and kept.speed_counts != answer:
        noted = [("speed_counts", kept.speed_counts, answer)]
        add_corrections(session, "run", run_id, noted, "", at)
    kept.speed_counts = answer
    session.add(kept)
    return kept


def wave_away(session: Session, run_id: int, at: str | None) -> Run:
    """Stop asking for what a run lacks, or ask again with None."""
    kept = run(session, run_id)
    kept.waved_away_at = at
    kept.waiting = _is_waiting(session, kept, form_of(session, kept))
    session.add(kept)
    return kept


def state_is_known(session: Session, kept: Run, why: str, at: Moment) -> None:
    """Somebody said on which build state a run was made: it is not unknown any more."""
    said = not_known_of(kept.not_known)
    if "state" not in said:
        return
    ledger = _Ledger(session, kept.id, why, at)
    ledger.note_answer(said, said - {"state"})
    kept.not_known = not_known_text(said - {"state"})
    ledger.keep()
    session.flush()


def add_incident(session: Session, run_id: int, incident: IncidentFormData, at: Moment) -> None:
    """Write down something that happened in a run. Raises NotFound."""
    kept = run(session, run_id)
    add_incidents(session, run_id, [incident])
    if incident.spoiled_speed and kept.speed_counts:
        answer_speed(session, run_id, "does not count", at)


def set_incident_aside(session: Session, run_id: int, incident_id: int, at: str | None) -> Incident:
    """Set an incident aside, or bring it back with None. Raises NotFound."""
    found = session.exec(select(Incident).where(Incident.id == incident_id, Incident.run_id == run_id)).first()
    if found is None:
        raise NotFound("There is no such incident in this run.")
    found.set_aside_at = at
    session.add(found)
    return found
