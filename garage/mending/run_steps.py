"""Steps that move runs, with all that moves along."""

from collections.abc import Sequence

from sqlmodel import Session

from garage.errors import Conflict
from garage.mending.steps import RunMoved
from garage.moments import Moment
from garage.runs.moves import Start, start_of_text, start_text
from garage.runs.moves_store import standing
from garage.runs.tables import Run
from garage.states.query_store import state_at
from garage.states.tables import BuildState


def run_start_steps(session: Session, starts: Sequence[tuple[Run, Moment]]) -> list[RunMoved]:
    """Steps that let runs begin at other times, each pinned to the build state that its boat was in then."""
    stood = standing(session, [run.id for run, _ in starts])
    steps = []
    for run, start in starts:
        old = stood[run.id, "start"]
        steps.append(RunMoved(run.id, "start", old, start_text(Start(start, start_of_text(old).known))))
        steps.append(RunMoved(run.id, "state", str(run.state_id), str(state_then(session, run.hull_id, start).id)))
    return [step for step in steps if step.old != step.new]


def state_then(session: Session, hull_id: int, start: Moment) -> BuildState:
    """The build state of a boat at a time. Raises Conflict before her first."""
    found = state_at(session, hull_id, start.utc)
    if found is None:
        raise Conflict(f"She has no build state as early as {start.day()}, {start.clock()}.")
    return found
