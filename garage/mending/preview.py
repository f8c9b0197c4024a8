"""What would come of a mending: it is carried out in a session that keeps nothing, and read before and after."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.handed_down import MeasuredSlip
from garage.mending.histories import plans
from garage.mending.operation import Planned
from garage.mending.readings import Readings, Subjects, ThingOtherwise, otherwise, readings
from garage.mending.same_readings import runs_with, said_of, touched
from garage.mending.steps import Handed, Put, Step, mark_of
from garage.mending.store import carry_out
from garage.moments import Moment
from garage.runs.moves import Move, packs_of_text, start_of_text
from garage.runs.store import packs_of, runs_by_ids
from garage.runs.tables import Run, RunPack
from garage.units import DisplayUnits

# So many things are laid beside each other; of more, how many is told.
MOST_RUNS = 60
_MOST_NEAR = 60


@dataclass(frozen=True)
class Ahead:
    """What would be done, in words, and what would read otherwise. `mark` tells the steps apart from any others;
    `more_runs` are runs that were not looked at."""

    said: str
    mark: str = ""
    notes: list[str] = field(default_factory=list)
    things: list[ThingOtherwise] = field(default_factory=list)
    more_runs: int = 0


def look_ahead(
    session: Session,
    plan: Callable[[Session], Planned],
    kind: str,
    units: DisplayUnits,
    measured_slip: MeasuredSlip,
    now: Moment,
) -> Ahead:
    """What `plan` would lead to. `session` is one that writes and keeps nothing. Raises what the plan raises, and
    Conflict where it cannot be done."""
    planned = plan(session)
    of, more = subjects(session, planned.steps)
    things = touched(session, planned.steps)

    def said() -> Readings:
        return _together(readings(session, of, units, measured_slip, now), said_of(session, things, units, now))

    before = said()
    carry_out(session, kind, planned, "", "", now)
    session.expire_all()
    after = said()
    return Ahead(planned.said, mark_of(planned.steps), list(planned.notes), otherwise(before, after), more)


def _together(readings_of: Readings, more: Readings) -> Readings:
    """What is said of the same thing in two places, as one."""
    return {**readings_of, **{thing: readings_of.get(thing, {}) | lines for thing, lines in more.items()}}


def subjects(session: Session, steps: Sequence[Step]) -> tuple[Subjects, int]:
    """The things of which steps may change what is said, and how many runs are left out as too many."""
    moved = [step for step in steps if isinstance(step, Move)]
    puts = [step for step in steps if isinstance(step, Put)]
    things = touched(session, steps)
    histories = plans(session, steps)
    own = {step.run_id for step in moved}.union(*(plan.runs for plan in histories))
    own |= {step.row_id for step in puts if step.owner == "run"}
    # Those that are moved come before those that are told otherwise because of them.
    ids = [*sorted(own), *sorted(runs_with(session, things) - own, reverse=True)]
    looked = ids[:MOST_RUNS]
    runs = runs_by_ids(session, looked)
    packs = {use.pack_id for uses in packs_of(session, looked).values() for use in uses}
    packs |= {use.pack_id for step in moved if step.what == "packs" for use in _packs_in(step)}
    rewritten = frozenset(plan.hull_id for plan in histories)
    hulls = {one.hull_id for one in runs.values()} | _named(moved, "boat") | rewritten
    days = {one.outing_id for one in runs.values()} | _named(moved, "outing")
    put_days = {step.row_id for step in puts if step.owner == "outing"}
    put_days |= {row for step in steps if isinstance(step, Handed) and step.table == "outing" for row in step.rows}
    days |= put_days
    found = session.exec(select(Run.id).where(in_(Run.outing_id, put_days)).order_by(col(Run.id).desc())).all()
    of_days = [one for one in found if one and one not in runs]
    near = _near(session, moved, runs, packs, hulls) | set(of_days[:_MOST_NEAR])
    packs |= things.of("pack")
    of = Subjects(frozenset(looked), near, frozenset(days), frozenset(packs), frozenset(hulls), rewritten)
    left_out = {*ids[MOST_RUNS:], *of_days} - {*looked, *near}
    return of, len(left_out)


def _near(
    session: Session, moved: Sequence[Move], runs: Mapping[int, Run], packs: Iterable[int], hulls: Iterable[int]
) -> frozenset[int]:
    """Runs after those that move, of the same boats and with the same packs: what is counted before them changes."""
    starts = [one.started_at for one in runs.values()]
    starts += [start_of_text(step.new).moment.utc for step in moved if step.what == "start"]
    if not starts:
        return frozenset()
    with_pack = select(RunPack.run_id).where(in_(RunPack.pack_id, packs))
    its = in_(Run.hull_id, hulls) | col(Run.id).in_(with_pack)
    later = select(Run.id).where(its, Run.started_at >= min(starts), col(Run.set_aside_at).is_(None))
    found = session.exec(later.order_by(col(Run.started_at), col(Run.id)).limit(_MOST_NEAR + len(runs))).all()
    return frozenset(run_id for run_id in found if run_id and run_id not in runs)


def _packs_in(step: Move) -> list:
    return [use for text in (step.old, step.new) for use in packs_of_text(text)]


def _named(moved: Iterable[Move], what: str) -> set[int]:
    return {int(value) for step in moved if step.what == what for value in (step.old, step.new)}
