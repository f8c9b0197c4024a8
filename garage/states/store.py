"""What other rooms ask of build states, in one place."""

from garage.states.change_store import InThePast, Visit, ensure_first_state, make_changes, make_visit, take_back
from garage.states.fold import ChangeFormData, Content, short
from garage.states.marks import as_mark
from garage.states.query_store import (
    changes_of,
    current_state,
    fingerprints_of,
    given_way,
    moment_of,
    state,
    state_at,
    state_by_number,
    state_content,
    state_dates,
    state_texts,
    states,
    states_with_fingerprint,
    states_with_mark,
)
from garage.states.wording import Difference, differences
from garage.states.write_store import read_change

__all__ = [
    "ChangeFormData",
    "Content",
    "Difference",
    "InThePast",
    "Visit",
    "as_mark",
    "changes_of",
    "current_state",
    "differences",
    "ensure_first_state",
    "fingerprints_of",
    "given_way",
    "make_changes",
    "make_visit",
    "moment_of",
    "read_change",
    "short",
    "state",
    "state_at",
    "state_by_number",
    "state_content",
    "state_dates",
    "state_texts",
    "states",
    "states_with_fingerprint",
    "states_with_mark",
    "take_back",
]
