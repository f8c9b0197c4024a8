"""What stands in the fields that a person added to hulls: settings of the state in which each hull is now."""

from collections.abc import Iterable
from types import SimpleNamespace

from sqlmodel import Session

from garage.own_fields.at_hand import own
from garage.states.fold import EMPTY, Content, at_place
from garage.states.mending_store import mended_contents
from garage.states.query_store import current_states


def own_settings(session: Session, hull_ids: Iterable[int]) -> dict[int, SimpleNamespace]:
    """The own settings of some hulls as they are now, by hull: read by the columns of the own fields, as a row that has
    such columns is; None for what is not set."""
    ids = list(hull_ids)
    states = current_states(session, ids) if own("hull") else {}
    contents = mended_contents(session, list(states.values())) if states else {}
    return {hull_id: _row(contents[states[hull_id].id] if hull_id in states else EMPTY) for hull_id in ids}


def _row(content: Content) -> SimpleNamespace:
    columns = [field.column for field in own("hull")]
    return SimpleNamespace(**{column: content.settings.get(at_place(column, "single")) for column in columns})
