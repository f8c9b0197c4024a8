"""What other rooms ask of build states, in one place."""

from garage.builds.change_store import (
    InThePast,
    Visit,
    ensure_first_state,
    make_changes,
    make_visit,
    take_back,
)
from garage.builds.rest_store import is_frozen, is_rested_on, last_run_utc
from garage.builds.service_store import last_service, service_rules, services_since
from garage.builds.state import ChangeDraft, Content, short
from garage.builds.state_query_store import (
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
)
from garage.builds.state_write_store import read_change
from garage.builds.wording import Difference, differences

__all__ = [
    "ChangeDraft",
    "Content",
    "Difference",
    "InThePast",
    "Visit",
    "changes_of",
    "current_state",
    "differences",
    "ensure_first_state",
    "fingerprints_of",
    "given_way",
    "is_frozen",
    "is_rested_on",
    "last_run_utc",
    "last_service",
    "make_changes",
    "make_visit",
    "moment_of",
    "read_change",
    "service_rules",
    "services_since",
    "short",
    "state",
    "state_at",
    "state_by_number",
    "state_content",
    "state_dates",
    "state_texts",
    "states",
    "states_with_fingerprint",
    "take_back",
]
