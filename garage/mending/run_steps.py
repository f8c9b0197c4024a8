"""Steps that move runs, with all that moves along."""

from collections.abc import Iterable, Mapping, Sequence

from sqlmodel import Session

from garage.errors import Conflict
from garage.hulls.store import hull
from garage.mending.order import USUAL_LENGTH_S, Placed
from garage.mending.steps import Put
from garage.moments import Moment, day_text
from garage.runs.moves import Move, Start, start_text
from garage.runs.not_known import not_known_of, not_known_text
from garage.runs.tables import Run
from garage.states.query_store import is_built, live_states_after
from garage.states.tables import BuildState
from garage.waters.outing_store import began
from garage.waters.tables import Outing


class StatesThen:
    """The build states of boats at any time, each boat read once."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._of: dict[int, list[BuildState]] = {}

    def found(self, hull_id: int, start: Moment) -> BuildState | None:
        """The state that a boat was in at a time; None before her first."""
        states = self._all(hull_id)
        then = [one for one in states if one.made_at <= start.utc]
        if then or not states:
            return then[-1] if then else None
        # As `query_store.state_at` has it.
        return states[0] if is_built(self._session, hull_id, start.utc) else None

    def at(self, hull_id: int, start: Moment) -> BuildState:
        """The same. Raises Conflict before her first, saying what would help."""
        found = self.found(hull_id, start)
        if found is None:
            raise self._refusal(hull_id, start)
        return found

    def _all(self, hull_id: int) -> list[BuildState]:
        if hull_id not in self._of:
            self._of[hull_id] = live_states_after(self._session, hull_id, "")
        return self._of[hull_id]

    def _refusal(self, hull_id: int, start: Moment) -> Conflict:
        boat, at = hull(self._session, hull_id), f"/hulls/{hull_id}"
        if boat.built_on and start.date() < boat.built_on:
            words = f"{boat.name} was built on {day_text(boat.built_on)}: {start.day()} is before that."
            return Conflict(words, (f"{at}/edit", f"Put right when {boat.name} was built"))
        if not self._all(hull_id):
            words = f"Nothing is written of what is on {boat.name}."
            return Conflict(words, (f"{at}/changes/new", f"Write what is on {boat.name}"))
        words = f"{boat.name} has no build state as early as {start.day()}, {start.clock()}."
        return Conflict(words, (f"{at}/edit", f"Say when {boat.name} was built"))


def started(run: Run) -> Moment:
    """When a run began."""
    return Moment(run.started_at, run.offset_min)


def placed(run: Run, start: Moment | None = None) -> Placed:
    """A run in the order of its day, or with another start."""
    return Placed(run.id, start or started(run), run.start_time_known, run.duration_s or USUAL_LENGTH_S)


def start_step(run: Run, start: Moment, known: bool | None = None) -> Move:
    """A run began at another time."""
    is_known = run.start_time_known if known is None else known
    old = start_text(Start(started(run), run.start_time_known))
    return Move(run.id, "start", old, start_text(Start(start, is_known)))


def number_steps(runs: Iterable[Run], numbers: Mapping[int, int]) -> list[Move]:
    """Runs bear other numbers."""
    return [Move(run.id, "number", str(run.number), str(numbers[run.id])) for run in runs if run.id in numbers]


def state_step(run: Run, state: BuildState) -> Move:
    """A run was made with another build state."""
    return Move(run.id, "state", str(run.state_id), str(state.id))


def moving(steps: Iterable[Move]) -> list[Move]:
    """Those that move something."""
    return [step for step in steps if step.old != step.new]


def run_start_steps(
    session: Session, starts: Sequence[tuple[Run, Moment]], states: StatesThen | None = None
) -> list[Move]:
    """Steps that let runs begin at other times, each with the build state that its boat was in then. A run that was
    put on another state than that of its time by hand stays there."""
    states = states or StatesThen(session)
    steps = []
    for run, start in starts:
        steps.append(start_step(run, start))
        if not put_by_hand(run, states):
            steps.append(state_step(run, states.at(run.hull_id, start)))
    return moving(steps)


def put_by_hand(run: Run, states: StatesThen) -> bool:
    """Whether a run stands on another build state than its boat was in when it began."""
    then = states.found(run.hull_id, started(run))
    return then is not None and then.id != run.state_id


def by_hand_notes(runs: Iterable[Run], states: StatesThen) -> list[str]:
    """That the build state of some runs stays, since a person chose it."""
    stays = [str(run.number) for run in runs if put_by_hand(run, states)]
    if not stays:
        return []
    which = f"Run {stays[0]} keeps its" if len(stays) == 1 else f"Runs {listed(stays)} keep their"
    return [f"{which} build state: it was put there by hand."]


def listed(words: Sequence[str]) -> str:
    """`1, 2 and 5`."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""


def begin_steps(day: Outing, starts: Iterable[Moment], stands: Moment | None = None) -> list[Put]:
    """An outing begins no later than its first run; `stands` is when it begins, if not as it is written."""
    begins = min((one.utc, one.offset_min) for one in (*starts, stands or began(day)))
    old = {"started_at": day.started_at, "offset_min": day.offset_min}
    new = {"started_at": begins[0], "offset_min": begins[1]}
    return [Put("outing", day.id, old, new)] if old != new else []


def not_known_steps(run: Run, *, also: Iterable[str] = (), known: Iterable[str] = ()) -> list[Put]:
    """What nobody knows any more of a run, with `also` and without what is `known` again."""
    words = (not_known_of(run.not_known) | set(also)) - set(known)
    new = not_known_text(words)
    return [Put("run", run.id, {"not_known": run.not_known}, {"not_known": new})] if new != run.not_known else []
