"""What a thing to be put right is called, and where its page is."""

from collections.abc import Callable
from dataclasses import dataclass

from sqlmodel import Session

from garage.hulls.store import hull
from garage.inventory.store import row_of
from garage.mending.asked import the_outing, the_run
from garage.mending.pack_log import line, line_words, when
from garage.mending.same_kinds import KINDS
from garage.modifications.step_store import step
from garage.modifications.store import modification
from garage.moments import Moment
from garage.packs.store import pack
from garage.states.query_store import moment_of, state
from garage.waters.outing_store import began
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
    found = the_outing(session, outing_id)
    return f"{began(found).day()}, {water(session, found.water_id).name}", f"/outings/{outing_id}"


def _run(session: Session, run_id: int) -> tuple[str, str]:
    return run_name(session, run_id), f"/runs/{run_id}"


def run_name(session: Session, run_id: int) -> str:
    """`Brindle, run 3 of 18 October 2026`."""
    found = the_run(session, run_id)
    day = Moment(found.started_at, found.offset_min).day()
    return f"{hull(session, found.hull_id).name}, run {found.number} of {day}"


def _thing(kind: str) -> Callable[[Session, int], tuple[str, str]]:
    def told(session: Session, thing_id: int) -> tuple[str, str]:
        found = row_of(session, KINDS[kind].collection, thing_id)
        called = KINDS[kind].called(found)
        return called[0].upper() + called[1:], f"{KINDS[kind].collection.url}/{thing_id}"

    return told


def _line(kind: str, page: str) -> Callable[[Session, int], tuple[str, str]]:
    def told(session: Session, row_id: int) -> tuple[str, str]:
        row = line(session, kind, row_id)
        code = pack(session, row.pack_id).code
        return f"Pack {code}, {line_words(row)} of {when(row).day()}", f"/packs/{row.pack_id}/{page}"

    return told


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


_NAMED: dict[str, Callable[[Session, int], tuple[str, str]]] = {
    "outing": _outing,
    "run": _run,
    "pack_log": _line("pack_log", "log"),
    "reading": _line("reading", "readings"),
    "hull": _hull,
    "state": _state,
    "modification": _modification,
    "step": _step,
    **{kind: _thing(kind) for kind in KINDS},
}
