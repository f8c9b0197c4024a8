"""What a question and its answer both want to know of runs and outings, asked once in a session."""

from collections.abc import Callable, Hashable
from typing import TypeVar, cast

from sqlmodel import Session

from garage.runs.store import run, runs_of_outing
from garage.runs.tables import Run
from garage.waters.outing_store import outing
from garage.waters.tables import Outing

# An outing has no more that anybody looks at.
MOST_RUNS = 400
_ASKED = "asked for a mending"
_Found = TypeVar("_Found")


def once(session: Session, key: Hashable, read: Callable[[], _Found]) -> _Found:
    """What `read` gave when it was first asked for: nothing is written before all is planned."""
    asked = session.info.setdefault(_ASKED, {})
    if key not in asked:
        asked[key] = read()
    return cast(_Found, asked[key])


def the_run(session: Session, run_id: int) -> Run:
    """One run. Raises NotFound."""
    return once(session, ("run", run_id), lambda: run(session, run_id))


def the_outing(session: Session, outing_id: int) -> Outing:
    """One outing. Raises NotFound."""
    return once(session, ("outing", outing_id), lambda: outing(session, outing_id))


def runs_of_day(session: Session, outing_id: int) -> list[Run]:
    """The runs of one outing in their order; those set aside among them."""
    return list(once(session, ("runs", outing_id), lambda: runs_of_outing(session, outing_id, limit=MOST_RUNS)))
