"""Two packs side by side."""

from dataclasses import dataclass

from garage.items.packs.choice import ChoiceLine, Known, ways_of_reading
from garage.measures import Measure
from garage.packs.matching import together
from garage.packs.sheets import member_of
from garage.packs.tables import Pack


@dataclass(frozen=True)
class AgainstRow:
    """One fact of both; `same` if they agree. Texts where a fact is no quantity."""

    fact: str
    one: Measure | None
    other: Measure | None
    one_text: str
    other_text: str
    same: bool


@dataclass(frozen=True)
class Against:
    """Both packs: what they are called, facts row by row, what sets them apart in a set."""

    one_id: int
    other_id: int
    one: str
    other: str
    rows: list[AgainstRow]
    weaker: list[str]
    cautions: list[str]


def against(one: ChoiceLine, other: ChoiceLine, first: Pack, second: Pack, known: Known) -> Against:
    """Two packs with their facts; what their use in one set would mean."""
    rows = [
        _measures("Capacity", one.capacity, other.capacity),
        _texts("Cells", one.cells, other.cells),
        _texts("Stands", one.standing, other.standing),
        _texts("Discharges", str(one.discharges), str(other.discharges)),
        _measures("Mean cell at 25 °C", one.per_cell, other.per_cell),
        _texts("Resistance for its size", one.per_ah or "–", other.per_ah or "–"),
        _measures("Sag at 100 A", one.sag, other.sag),
        _measures("Mass", one.mass, other.mass),
        _texts("First charge", first.first_charged_on or "–", second.first_charged_on or "–"),
        _texts("Last used", one.last_used or "–", other.last_used or "–"),
        _texts("Measured against it", one.retire or "nothing", other.retire or "nothing"),
        _texts("Damage", one.blocked or "none noted", other.blocked or "none noted"),
    ]
    members = [member_of(pack, known.standings[pack.id]) for pack in (first, second)]
    pair = together(members, "series")
    ways = ways_of_reading([one, other])
    apart = [f"Read by {' and by '.join(ways)}: their resistances do not compare."] if len(ways) > 1 else []
    return Against(one.id, other.id, one.code, other.code, rows, pair.weaker, [*pair.cautions, *apart])


def _measures(fact: str, one: Measure, other: Measure) -> AgainstRow:
    return AgainstRow(fact, one, other, "", "", one.value == other.value)


def _texts(fact: str, one: str, other: str) -> AgainstRow:
    return AgainstRow(fact, None, None, one, other, one == other)
