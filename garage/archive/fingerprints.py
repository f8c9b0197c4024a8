"""Every build state worked out anew: its content from its changes, its fingerprint from its content."""

from collections.abc import Iterator

from sqlmodel import Session, col, select

from garage.states.fold import ChangeFormData, DoesNotFit, content_text, fingerprint, fold, read_content
from garage.states.query_store import changes_of, given_way
from garage.states.tables import BuildState, Fingerprint
from garage.states.write_store import read_change

_AT_ONCE = 200


def state_faults(session: Session) -> tuple[int, list[str]]:
    """How many states there are, and which do not hold, in words."""
    faults: list[str] = []
    count = 0
    for states in _in_pieces(session):
        count += len(states)
        ids = [state.id for state in states]
        changes = changes_of(session, ids)
        parents = _contents(session, {state.parent_id for state in states if state.parent_id is not None})
        known, gone = _known_fingerprints(session, ids), given_way(session, ids)
        for state in states:
            wrong = _content_fault(state, known)
            # What came before a state that gave way may have been written anew since.
            if not wrong and state.id not in gone:
                start = parents.get(state.parent_id, "") if state.parent_id is not None else ""
                wrong = _fold_fault(state, start, [read_change(change) for change in changes.get(state.id, [])])
            if wrong:
                faults.append(f"Build state {state.number} of hull {state.hull_id}: {wrong}")
        session.expunge_all()
    return count, faults


def _content_fault(state: BuildState, known: set[tuple[str, str, int]]) -> str:
    try:
        content = read_content(state.content)
        if fingerprint(content) != state.fingerprint:
            return "its fingerprint is not that of what it says is on the boat."
        if content_text(content) != state.content:
            return "what it says is on the boat is not written as this program writes it."
        if (state.fingerprint, state.mark, state.id) not in known:
            return "its fingerprint, with its mark, does not lead to it."
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        return f"what it says is on the boat cannot be read ({error})."
    return ""


def _fold_fault(state: BuildState, start: str, forms: list[ChangeFormData]) -> str:
    try:
        folded = fold(forms, read_content(start)) if start else fold(forms)
        if content_text(folded) != state.content:
            return "its changes do not lead to what it says is on the boat."
    except (DoesNotFit, ValueError, KeyError, TypeError, AttributeError) as error:
        return f"its changes cannot be made one after the other ({error})."
    return ""


def _in_pieces(session: Session) -> Iterator[list[BuildState]]:
    last = 0
    while True:
        query = select(BuildState).where(col(BuildState.id) > last).order_by(col(BuildState.id)).limit(_AT_ONCE)
        states = list(session.exec(query))
        if not states:
            return
        last = states[-1].id or 0
        yield states


def _contents(session: Session, ids: set[int]) -> dict[int, str]:
    rows = session.exec(select(BuildState.id, BuildState.content).where(col(BuildState.id).in_(ids)))
    return {state_id: content for state_id, content in rows if state_id is not None}


def _known_fingerprints(session: Session, ids: list[int]) -> set[tuple[str, str, int]]:
    query = select(Fingerprint.fingerprint, Fingerprint.mark, Fingerprint.state_id)
    rows = session.exec(query.where(col(Fingerprint.state_id).in_(ids)))
    return set(rows)
