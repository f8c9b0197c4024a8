"""What the bin shows."""

from collections.abc import Sequence
from dataclasses import dataclass

from garage.bin.store import SetAside
from garage.moments import day_text


@dataclass(frozen=True)
class BinLine:
    """One thing set aside."""

    kind: str
    name: str
    set_aside_on: str
    url: str
    back: str


@dataclass(frozen=True)
class BinSheet:
    """What was set aside, the latest first."""

    rows: list[BinLine]
    page: int
    more: bool


def bin_sheet(found: Sequence[SetAside], page: int, limit: int) -> BinSheet:
    """The page; `found` holds one more than `limit` if there is a further page."""
    rows = [BinLine(one.kind, one.name, day_text(one.set_aside_at[:10]), one.url, one.back) for one in found[:limit]]
    return BinSheet(rows, page, len(found) > limit)
