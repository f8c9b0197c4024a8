"""A number as a page shows it: what it is, in which kind of unit, and where it came from."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Measure:
    """One quantity on a sheet.

    `value`, `low` and `high` are in the storage unit of `kind` (see `garage.units.KINDS`); `origin` says how
    the number is known ("weighed", "computed from dimensions and density", "stated by the maker").
    """

    value: float | None
    kind: str
    origin: str = ""
    caution: str = ""
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True)
class Counted:
    """A plain number in a person's own unit, such as turns."""

    value: float | None
    unit: str
    origin: str = ""
