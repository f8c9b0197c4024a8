"""A modification or a step of work that was otherwise."""

from collections.abc import Sequence

from sqlmodel import Session

from garage.hulls.store import hull, hulls
from garage.mending.operation import Ask, Operation, Planned
from garage.mending.steps import Put
from garage.modifications.step_store import step
from garage.modifications.store import changes_in_order, modification, status
from garage.moments import Moment
from garage.runs.rests_store import frozen_steps
from garage.states.query_store import moment_of, state
from garage.units import DisplayUnits
from garage.web.fields import Reader

_MOST_BOATS = 300
_DONE = {"fit": "fitted", "rework": "reworked", "take off": "taken off"}


def _nothing_asked(_session: Session, _thing_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    return ()


def _nothing_planned(_session: Session, _reader: Reader, _thing_id: int, _now: Moment) -> Planned:
    return Planned("", ())


def _other_boats(session: Session, hull_id: int) -> list[tuple[str, str]]:
    return [(str(one.id), one.name) for one in hulls(session, limit=_MOST_BOATS) if one.id != hull_id]


def _stays_on_boat(session: Session, modification_id: int) -> str:
    """What stands against its being of another boat: it was on this one, and what can be done then."""
    changes = changes_in_order(session, [modification_id])
    if not changes:
        return ""
    kept = modification(session, modification_id)
    found = state(session, changes[0].state_id)
    boat = hull(session, kept.hull_id).name
    return (
        f"It was {_DONE[changes[0].kind]} on {boat} on {moment_of(found).day()}, in build state {found.number}. If "
        f"that was not so, say of that state that it was never made: then this one can go to the other boat, and be "
        f"fitted there on its day. If both boats have one, plan it on the other boat too."
    )


def _asks_boat(session: Session, modification_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    boats = _other_boats(session, modification(session, modification_id).hull_id)
    return [Ask("hull", "The boat it really is of", "choice", options=boats, required=True)]


def _plan_boat(session: Session, reader: Reader, modification_id: int, _now: Moment) -> Planned:
    kept = modification(session, modification_id)
    chosen = reader.choice("hull", [value for value, _ in _other_boats(session, kept.hull_id)], required=True)
    reader.finish()
    own, other = hull(session, kept.hull_id), hull(session, int(chosen))
    put = Put("modification", modification_id, {"hull_id": own.id}, {"hull_id": other.id})
    notes = [f"Its steps, pictures and notes go along. A question asked about it stays with {own.name}."]
    return Planned(f"{kept.title} is of {other.name}, not of {own.name}", [put], notes)


def _words_form(_session: Session, modification_id: int) -> str:
    return f"/modifications/{modification_id}/edit"


def _not_to_drop(session: Session, modification_id: int) -> str:
    stands = status(session, [modification_id])[modification_id]
    return {"fitted": "It is on the boat: take it off first.", "dropped": "It is dropped already."}.get(stands, "")


def _drop_form(_session: Session, modification_id: int) -> str:
    return f"/modifications/{modification_id}/drop"


def _is_not_dropped(session: Session, modification_id: int) -> str:
    return "" if modification(session, modification_id).dropped_at else "It is not dropped."


def _plan_not_dropped(session: Session, _reader: Reader, modification_id: int, _now: Moment) -> Planned:
    kept = modification(session, modification_id)
    old = {"dropped_at": kept.dropped_at, "dropped_reason": kept.dropped_reason}
    put = Put("modification", modification_id, old, {"dropped_at": None, "dropped_reason": ""})
    return Planned(f"{kept.title} was not dropped", [put], ["It is among the work planned again."])


def _step_form(session: Session, step_id: int) -> str:
    is_frozen = step_id in frozen_steps(session, [step(session, step_id).modification_id])
    return f"/steps/{step_id}/{'mend' if is_frozen else 'edit'}"


OPERATIONS = (
    Operation(
        "modification", "boat", "It belongs to another boat", "with all its steps", _asks_boat, _plan_boat,
        _stays_on_boat,
    ),
    Operation(
        "modification", "words", "Its title or what it is for was otherwise", "what stood there is kept",
        _nothing_asked, _nothing_planned, elsewhere=_words_form,
    ),
    Operation(
        "modification", "dropped", "It was given up", "it leaves the work planned", _nothing_asked, _nothing_planned,
        _not_to_drop, elsewhere=_drop_form,
    ),
    Operation(
        "modification", "not-dropped", "It was not given up", "it is among the work planned again", _nothing_asked,
        _plan_not_dropped, _is_not_dropped,
    ),
    Operation(
        "step", "work", "Something else was done",
        "the kind of step, material, glue, sizes, mass, when: each reads as it should, and what stood there stays",
        _nothing_asked, _nothing_planned, elsewhere=_step_form,
    ),
)  # fmt: skip
