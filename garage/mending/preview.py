"""What would come of a mending: it is carried out in a session that keeps nothing, and read before and after."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from sqlmodel import Session

from garage.handed_down import MeasuredSlip
from garage.mending.histories import plans
from garage.mending.operation import Planned
from garage.mending.readings import Subjects, ThingOtherwise, otherwise, readings
from garage.mending.steps import Put, RunMoved, Step
from garage.mending.store import carry_out
from garage.moments import Moment
from garage.runs.moves import packs_of_text
from garage.runs.store import packs_of, runs_by_ids
from garage.units import DisplayUnits

# So many things are laid beside each other; of more, how many is told.
MOST_RUNS = 60


@dataclass(frozen=True)
class Ahead:
    """What would be done, in words, and what would read otherwise. `more_runs` are runs that were not looked at."""

    said: str
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
    before = readings(session, of, units, measured_slip, now)
    carry_out(session, kind, planned, "", "", now)
    session.expire_all()
    after = readings(session, of, units, measured_slip, now)
    return Ahead(planned.said, list(planned.notes), otherwise(before, after), more)


def subjects(session: Session, steps: Sequence[Step]) -> tuple[Subjects, int]:
    """The things of which steps may change what is said, and how many runs are left out as too many."""
    moved = [step for step in steps if isinstance(step, RunMoved)]
    histories = plans(session, steps)
    ids = sorted({step.run_id for step in moved}.union(*(plan.runs for plan in histories)))
    looked = ids[:MOST_RUNS]
    runs = runs_by_ids(session, looked)
    packs = {use.pack_id for uses in packs_of(session, looked).values() for use in uses}
    packs |= {use.pack_id for step in moved if step.what == "packs" for use in _packs_in(step)}
    rewritten = frozenset(plan.hull_id for plan in histories)
    hulls = {one.hull_id for one in runs.values()} | _named(moved, "boat") | rewritten
    days = {one.outing_id for one in runs.values()} | _named(moved, "outing")
    days |= {step.row_id for step in steps if isinstance(step, Put) and step.owner == "outing"}
    of = Subjects(frozenset(looked), frozenset(days), frozenset(packs), frozenset(hulls), rewritten)
    return of, len(ids) - len(looked)


def _packs_in(step: RunMoved) -> list:
    return [use for text in (step.old, step.new) for use in packs_of_text(text)]


def _named(moved: Iterable[RunMoved], what: str) -> set[int]:
    return {int(value) for step in moved if step.what == what for value in (step.old, step.new)}
