"""Balance sheets and weighings of the demo's hulls as they stand at the end of the story."""

from collections.abc import Mapping
from typing import Any

from sqlmodel import Session

from garage.bench.balance.forms import read_parts, read_scales
from garage.bench.balance.store import add_scale_reading, add_sheet
from garage.demo.clock import moment
from garage.demo.names import Names
from garage.demo.typed import typed
from garage.states.store import current_state


def write_balances(session: Session, story: Mapping[str, Any], names: Names) -> None:
    """What each part weighs and where it sits, and what two scales read; of a hull's present build state."""
    for row in story["balance"]:
        found, at = current_state(session, names.hulls[row["hull"]]), moment(row["at"])
        assert found is not None and found.id is not None
        add_sheet(session, found, read_parts(typed(row)), at)
        add_scale_reading(session, found.id, read_scales(typed(row["scales"])), at)
