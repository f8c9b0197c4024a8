"""What has to hold once a mending is done: runs on the day of their outing, after their boat was built, nothing in two
places at a time."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from sqlalchemy import or_
from sqlmodel import Session, col, select

from garage.db.in_ids import in_, rows_by_ids
from garage.errors import Conflict
from garage.hulls.tables import Hull
from garage.mending.steps import Put, Step
from garage.moments import Moment, day_text
from garage.packs.tables import Pack
from garage.runs.entry.validate_store import LONGEST_RUN, overlap, span, utc_text
from garage.runs.moves import Move, Start, packs_of_text, start_of_text
from garage.runs.store import packs_of
from garage.runs.tables import Run
from garage.states.query_store import states_by_ids
from garage.waters.outing_store import outings_by_id


@dataclass(frozen=True)
class RunAt:
    """Where, when and with what a run was made."""

    id: int
    number: int
    hull_id: int
    state_id: int
    outing_id: int
    start: Start
    length_s: float
    packs: frozenset[int]
    counts: bool

    @property
    def span(self) -> tuple[datetime, datetime]:
        """From when to when it went on."""
        return span(self.start.moment.utc, self.length_s)


def hold_together(session: Session, steps: Sequence[Step], now: Moment) -> None:
    """Raises Conflict, in words, where what would stand after `steps` cannot be true; what could not be before is left
    as it was."""
    moved = [step for step in steps if isinstance(step, Move) and step.old != step.new]
    puts = [step for step in steps if isinstance(step, Put) and step.owner == "outing"]
    if not moved and not puts:
        return
    was = _runs(session, moved, puts)
    then = _after(was, moved)
    changed = [then[run_id] for run_id in sorted({step.run_id for step in moved})]
    _on_their_day(session, then, puts)
    if changed:
        _of_their_boat(session, changed, was, now)
        _in_one_place(session, was, then, {one.id for one in changed})


def _runs(session: Session, moved: Sequence[Move], puts: Sequence[Put]) -> dict[int, RunAt]:
    """The runs that move, and those of the days that change."""
    ids = {step.run_id for step in moved}
    days = {step.row_id for step in puts if step.old.get("started_at") != step.new.get("started_at")}
    rows = rows_by_ids(session, Run, ids)
    if days:
        rows |= {row.id: row for row in session.exec(select(Run).where(in_(Run.outing_id, days)))}
    return _pictured(session, rows.values())


def _pictured(session: Session, rows: Iterable[Run]) -> dict[int, RunAt]:
    found = {row.id: row for row in rows}
    packs = packs_of(session, found) if found else {}
    return {
        run_id: RunAt(
            run_id, row.number, row.hull_id, row.state_id, row.outing_id,
            Start(Moment(row.started_at, row.offset_min), row.start_time_known), row.duration_s or 0,
            frozenset(use.pack_id for use in packs.get(run_id, ())), row.set_aside_at is None,
        )
        for run_id, row in found.items()
    }  # fmt: skip


_COLUMNS = {"boat": "hull_id", "state": "state_id", "outing": "outing_id", "number": "number"}


def _after(was: Mapping[int, RunAt], moved: Iterable[Move]) -> dict[int, RunAt]:
    then = dict(was)
    for step in moved:
        if column := _COLUMNS.get(step.what):
            then[step.run_id] = replace(then[step.run_id], **{column: int(step.new)})  # type: ignore[arg-type]
        elif step.what == "start":
            then[step.run_id] = replace(then[step.run_id], start=start_of_text(step.new))
        elif step.what == "packs":
            ids = frozenset(use.pack_id for use in packs_of_text(step.new))
            then[step.run_id] = replace(then[step.run_id], packs=ids)
    return then


def _on_their_day(session: Session, then: Mapping[int, RunAt], puts: Iterable[Put]) -> None:
    """A run’s day is its outing’s, which begins no later than its first run."""
    days = {one.outing_id for one in then.values()}
    begins = {found.id: Moment(found.started_at, found.offset_min) for found in outings_by_id(session, days).values()}
    for step in puts:
        if "started_at" in step.new:
            begins[step.row_id] = Moment(step.new["started_at"], step.new["offset_min"])
    for one in sorted(then.values(), key=lambda run: run.start.moment.utc):
        day, ran = begins[one.outing_id], one.start.moment
        if ran.date() != day.date():
            raise Conflict(
                f"The outing was on {day.day()}, run {one.number} on {ran.day()}.",
                (f"/otherwise/run/{one.id}/outing", "The run was of another outing"),
                (f"/otherwise/outing/{one.outing_id}/day", "The whole outing was on another day"),
            )
        if ran.utc < day.utc:
            raise Conflict(
                f"Run {one.number} began at {ran.clock()}: the outing began no later than its first run.",
                (f"/otherwise/run/{one.id}/start", f"Run {one.number} began at another time"),
            )


def _of_their_boat(session: Session, changed: Sequence[RunAt], was: Mapping[int, RunAt], now: Moment) -> None:
    hulls = rows_by_ids(session, Hull, {one.hull_id for one in changed})
    states = states_by_ids(session, {one.state_id for one in changed})
    for one in changed:
        hull, start = hulls[one.hull_id], one.start.moment
        if states[one.state_id].hull_id != one.hull_id:
            raise Conflict(f"Run {one.number} would stand on a build state of another boat.")
        if (one.start, one.hull_id) == (was[one.id].start, was[one.id].hull_id):
            continue
        if start.date() > now.date():
            raise Conflict(f"{start.day()} is still to come.")
        if hull.built_on and start.date() < hull.built_on:
            raise Conflict(
                f"{hull.name} was built on {day_text(hull.built_on)}: run {one.number} would be before that.",
                (f"/hulls/{hull.id}/edit", f"Put right when {hull.name} was built"),
            )


def _in_one_place(session: Session, was: Mapping[int, RunAt], then: Mapping[int, RunAt], changed: set[int]) -> None:
    """No boat in two runs at a time, and no pack in two boats, unless it was so before."""
    looked = [then[run_id] for run_id in changed if then[run_id].start.known and then[run_id].counts]
    if not looked:
        return
    others = {**_about(session, looked), **then}
    before = {**others, **was}
    for one in sorted(looked, key=lambda run: run.start.moment.utc):
        for other in others.values():
            if other.id != one.id and _clash(one, other) and not _clash(before[one.id], before[other.id]):
                raise _clash_words(session, one, other)


def _about(session: Session, looked: Sequence[RunAt]) -> dict[int, RunAt]:
    """Runs that went on about the same time."""
    days: dict[str, list[datetime]] = {}
    for one in looked:
        days.setdefault(one.start.moment.date(), []).extend(one.span)
    spans = [(utc_text(min(times) - LONGEST_RUN), utc_text(max(times))) for times in days.values()]
    within = or_(*((col(Run.started_at) >= low) & (col(Run.started_at) <= high) for low, high in spans))
    rows = session.exec(select(Run).where(within, Run.start_time_known, col(Run.set_aside_at).is_(None)))
    return _pictured(session, rows)


def _clash(one: RunAt, other: RunAt) -> bool:
    if not (one.start.known and other.start.known and one.counts and other.counts):
        return False
    return overlap(one.span, other.span) and (one.hull_id == other.hull_id or bool(one.packs & other.packs))


def _clash_words(session: Session, one: RunAt, other: RunAt) -> Conflict:
    at = other.start.moment
    help_it = (f"/otherwise/run/{other.id}", f"Run {other.number} of {at.day()} was otherwise")
    if shared := one.packs & other.packs:
        code = rows_by_ids(session, Pack, shared)[min(shared)].code
        words = f"Pack {code} was in run {other.number} of {at.day()} at {at.clock()}"
        return Conflict(f"{words}: a pack is in one boat at a time.", help_it)
    words = f"Run {other.number} of this boat was going on at {at.clock()} on {at.day()}"
    return Conflict(f"{words}, when run {one.number} would be.", help_it)
