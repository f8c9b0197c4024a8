"""All that the sheet of a build state, or a list of states, is made of."""

from collections.abc import Sequence

from sqlmodel import Session

from garage.handed_down import Rests
from garage.hulls.store import hull
from garage.states.mending_store import mended_settings, notes_mended
from garage.states.query_store import (
    changes_of,
    current_state,
    fingerprints_of,
    given_way,
    state_texts,
    took_the_place_of,
)
from garage.states.sheets import (
    DifferencesSheet,
    StateFacts,
    StateLine,
    StateSheet,
    differences_sheet,
    state_lines,
    state_sheet,
)
from garage.states.tables import BuildState
from garage.units import DisplayUnits


def state_facts(session: Session, found: BuildState, rests: Rests) -> StateFacts:
    """What is known about a state."""
    changes = changes_of(session, [found.id]).get(found.id, [])
    gone = given_way(session, [found.id]).get(found.id)
    instead_of = took_the_place_of(session, found.id)
    ids = [row.old_state_id for row in instead_of]
    ids += [gone.new_state_id] if gone else []
    ids += [found.parent_id] if found.parent_id else []
    current = current_state(session, found.hull_id)
    return StateFacts(
        found,
        changes,
        mended_settings(session, found.id),
        notes_mended(session, found, changes),
        fingerprints_of(session, found.id),
        {state_id: number for state_id, (number, _) in state_texts(session, ids).items()},
        gone,
        instead_of,
        current is not None and current.id == found.id,
        rests.is_frozen(session, found.hull_id, found.number),
    )


def sheet_of(session: Session, found: BuildState, units: DisplayUnits, rests: Rests) -> StateSheet:
    """The sheet of a state, ready to show."""
    return state_sheet(hull(session, found.hull_id), state_facts(session, found, rests), units)


def lines_of(session: Session, found: Sequence[BuildState], units: DisplayUnits) -> list[StateLine]:
    """Some states as lines of a list, with four queries however many there are."""
    ids = [row.id for row in found]
    gone = given_way(session, ids)
    numbers = state_texts(session, [row.new_state_id for row in gone.values()])
    return state_lines(
        found,
        changes_of(session, ids),
        gone,
        {state_id: number for state_id, (number, _) in numbers.items()},
        units,
    )


def differences_of(
    session: Session, before: BuildState, after: BuildState, units: DisplayUnits
) -> DifferencesSheet:
    """What differs between two states, ready to show."""
    return differences_sheet(
        before, after, mended_settings(session, before.id), mended_settings(session, after.id), units
    )
