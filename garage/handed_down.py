"""What a lower floor asks of a floor above, which it does not know: whoever calls it hands the answerer over."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, Protocol

from sqlmodel import Session

from garage.measures import Measure
from garage.moments import Moment


class Rests(Protocol):
    """What rests on build states, and so on the changes and steps that led to them."""

    def is_frozen(self, session: Session, hull_id: int, number: int) -> bool:
        """Whether something rests on the hull's state of this number or on a later one: what the triggers go by."""
        ...

    def last_run_utc(self, session: Session, hull_id: int) -> str:
        """When the hull's latest run started, in UTC; '' if it has none."""
        ...

    def last_run_of(self, session: Session, owner: str, owner_id: int) -> Moment | None:
        """When the latest run of a hull, pack or prop began that counts; None for none, and for other things."""
        ...

    def frozen_steps(self, session: Session, modification_ids: Iterable[int]) -> set[int]:
        """Which steps of some modifications something rests on, by id."""
        ...

    def work_as_mended(self, session: Session, fitted: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
        """What some states keep of their modifications, by modification, with the slips mended in its steps."""
        ...


# Pitch speed and slip of a run, by its id, where a log measured the shaft speed: by name, and nothing elsewhere.
MeasuredSlip = Callable[[Session, int], list[tuple[str, Measure]]]
