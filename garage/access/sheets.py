"""What the pages of phones show."""

from collections.abc import Sequence
from dataclasses import dataclass

from garage.access.tables import Device
from garage.moments import day_text


@dataclass(frozen=True)
class PhoneLine:
    """One phone that may come in."""

    id: int
    name: str
    paired_on: str


@dataclass(frozen=True)
class AccessSheet:
    """The desk's page of phones. `code` and `address` are '' while the home network is not served; `here_only` is
    how many phones a screen that only shows has let in."""

    is_open: bool
    address: str
    code: str
    phones: list[PhoneLine]
    here_only: int


@dataclass(frozen=True)
class PairSheet:
    """The page on which a phone types the code."""

    values: dict[str, str]


def access_sheet(is_open: bool, address: str, code: str, phones: Sequence[Device], here_only: int) -> AccessSheet:
    """The desk's page."""
    spaced = f"{code[:4]} {code[4:]}".strip()
    return AccessSheet(is_open, address, spaced, [_line(phone) for phone in phones], here_only)


def _line(phone: Device) -> PhoneLine:
    return PhoneLine(phone.id, phone.name or "a phone", day_text(phone.paired_at[:10]))
