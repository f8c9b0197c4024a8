"""The reader of the reference tables that ship with the program, each row with its source.

Tables are read once and kept; what comes back cannot be changed.
"""

import csv
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Protocol, TypeVar

from garage.paths import SHARED_DIR


@dataclass(frozen=True)
class Material:
    """Stock that a part can be made of, with the density to compute its mass from."""

    key: str
    name: str
    density_kg_m3: float
    note: str
    source: str


@dataclass(frozen=True)
class Adhesive:
    """How long a joint needs: words for people, and the longest full cure in hours where one is known."""

    key: str
    name: str
    handling: str
    full_cure_at_20_c: str
    full_cure_hours: float | None
    caution: str
    source: str


@dataclass(frozen=True)
class TemperatureLimit:
    """A reading at `place` on the `side` ("above" or "below") of `limit_c` is worth a word."""

    key: str
    place: str
    limit_c: float
    side: str
    text: str
    source: str


@dataclass(frozen=True)
class ClassRule:
    """A rule of a class or association, shown as a hint; `limit` in `unit` where it is a number."""

    key: str
    about: str
    text: str
    limit: float | None
    unit: str
    rule: str
    source: str


@dataclass(frozen=True)
class Caution:
    """The usual caution about a hazard met `where`: with packs, in the workshop, at the water."""

    key: str
    where: str
    hazard: str
    text: str
    source: str


class _Keyed(Protocol):
    @property
    def key(self) -> str: ...


_Row = TypeVar("_Row", bound=_Keyed)


@cache
def materials() -> Mapping[str, Material]:
    """Materials by key, in the order to list them."""
    return _table("materials", lambda row: Material(**row | {"density_kg_m3": float(row["density_kg_m3"])}))


@cache
def adhesives() -> Mapping[str, Adhesive]:
    """Glues, sealant and other ways to hold a part, by key."""
    return _table("adhesives", lambda row: Adhesive(**row | {"full_cure_hours": _number(row["full_cure_hours"])}))


@cache
def temperature_limits() -> Mapping[str, TemperatureLimit]:
    """Limits for readings after a run, by key."""
    return _table("temperature_limits", lambda row: TemperatureLimit(**row | {"limit_c": float(row["limit_c"])}))


@cache
def class_rules() -> Mapping[str, ClassRule]:
    """Class rules by key; those for strakes begin with `strake_`."""
    return _table("class_rules", lambda row: ClassRule(**row | {"limit": _number(row["limit"])}))


@cache
def cautions() -> Mapping[str, Caution]:
    """Cautions by key."""
    return _table("cautions", lambda row: Caution(**row))


def _table(name: str, make: Callable[[dict], _Row]) -> Mapping[str, _Row]:
    with (SHARED_DIR / "reference" / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        rows = [make(row) for row in csv.DictReader(file)]
    return MappingProxyType({row.key: row for row in rows})


def _number(text: str) -> float | None:
    return float(text) if text else None
