"""What a thing to be put right is called, and where its page is."""

from dataclasses import dataclass

from sqlmodel import Session

from garage.hulls.store import hull
from garage.modifications.step_store import step
from garage.modifications.store import modification
from garage.moments import Moment
from garage.runs.store import run
from garage.states.query_store import moment_of, state
from garage.waters.outing_store import began, outing
from garage.waters.store import water


@dataclass(frozen=True)
class About:
    """A thing of a kind: its name in a sentence, and its page."""

    kind: str
    id: int
    name: str
    url: str


def about(session: Session, kind: str, thing_id: int) -> About:
    """The thing. Raises NotFound."""
    return About(kind, thing_id, *_NAMED[kind](session, thing_id))


def _outing(session: Session, outing_id: int) -> tuple[str, str]:
    found = outing(session, outing_id)
    return f"{began(found).day()}, {water(session, found.water_id).name}", f"/outings/{outing_id}"


def _run(session: Session, run_id: int) -> tuple[str, str]:
    found = run(session, run_id)
    day = Moment(found.started_at, found.offset_min).day()
    return f"{hull(session, found.hull_id).name}, run {found.number} of {day}", f"/runs/{run_id}"


def _hull(session: Session, hull_id: int) -> tuple[str, str]:
    return hull(session, hull_id).name, f"/hulls/{hull_id}"


def _state(session: Session, state_id: int) -> tuple[str, str]:
    found = state(session, state_id)
    name = f"{hull(session, found.hull_id).name}, build state {found.number} of {moment_of(found).day()}"
    return name, f"/hulls/{found.hull_id}/states/{found.number}"


def _modification(session: Session, modification_id: int) -> tuple[str, str]:
    return modification(session, modification_id).title, f"/modifications/{modification_id}"


def _step(session: Session, step_id: int) -> tuple[str, str]:
    found = step(session, step_id)
    called = f"{found.action} {found.what}".strip()
    return f"{modification(session, found.modification_id).title}: {called}", f"/steps/{step_id}"


_NAMED = {"outing": _outing, "run": _run, "hull": _hull, "state": _state, "modification": _modification, "step": _step}
