"""All that the sheet of a build state, or a list of states, is made of."""

from collections.abc import Sequence

from sqlmodel import Session

from garage.handed_down import Rests
from garage.hulls.store import hull
from garage.hulls.tables import Hull
from garage.states.fold import Entries
from garage.states.mending_store import Mended, mended_settings, notes_mended, read_as_mended
from garage.states.query_store import (
    changes_of,
    fingerprints_of,
    given_way,
    state_content,
    state_texts,
    successions_of,
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


def state_facts(
    session: Session,
    found: BuildState,
    current: BuildState | None,
    mended: Mended,
    fitted: Entries,
    rests: Rests,
) -> StateFacts:
    """What is known about a state. `current` is what the hull is in now, `mended` the slips in its settings, `fitted`
    what is fitted as it should have read."""
    changes = changes_of(session, [found.id]).get(found.id, [])
    gone, instead_of = successions_of(session, found.id)
    ids = [row.old_state_id for row in instead_of]
    ids += [gone.new_state_id] if gone else []
    ids += [found.parent_id] if found.parent_id else []
    return StateFacts(
        found,
        changes,
        mended,
        fitted,
        notes_mended(session, found, changes),
        fingerprints_of(session, found.id),
        {state_id: number for state_id, (number, _) in state_texts(session, ids).items()},
        gone,
        instead_of,
        current is not None and current.id == found.id,
        rests.is_frozen(session, found.hull_id, found.number),
    )


def sheet_of(
    session: Session, found: BuildState, current: BuildState | None, units: DisplayUnits, rests: Rests
) -> StateSheet:
    """The sheet of a state, ready to show. `current` is what the hull is in now."""
    mended = mended_settings(session, [found.id])[found.id]
    [fitted] = rests.work_as_mended(session, [state_content(found).fitted])
    facts = state_facts(session, found, current, mended, fitted, rests)
    return state_sheet(hull(session, found.hull_id), facts, units)


def sheet_beside(
    session: Session, boat: Hull, found: BuildState, current: BuildState | None, units: DisplayUnits, rests: Rests
) -> tuple[StateSheet, DifferencesSheet | None]:
    """The sheet of a state, and what differs between it and what the hull is in now."""
    both = [one for one in (found, current) if one]
    mended = mended_settings(session, {one.id for one in both})
    fitted = rests.work_as_mended(session, [state_content(one).fitted for one in both])
    sheet = state_sheet(boat, state_facts(session, found, current, mended[found.id], fitted[0], rests), units)
    if current is None:
        return sheet, None
    then, now = (read_as_mended(one, mended[one.id], on_her) for one, on_her in zip(both, fitted, strict=True))
    return sheet, differences_sheet(found, current, then, now, units)


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
    session: Session, before: BuildState, after: BuildState, units: DisplayUnits, rests: Rests
) -> DifferencesSheet:
    """What differs between two states, ready to show."""
    mended = mended_settings(session, [before.id, after.id])
    fitted = rests.work_as_mended(session, [state_content(one).fitted for one in (before, after)])
    then, now = (
        read_as_mended(one, mended[one.id], on_her) for one, on_her in zip((before, after), fitted, strict=True)
    )
    return differences_sheet(before, after, then, now, units)
