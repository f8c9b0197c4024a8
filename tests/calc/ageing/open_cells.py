"""The open cells, read for tests and for the table in docs/packs.md: `python -m tests.calc.ageing.open_cells`."""

import csv
from dataclasses import dataclass, field
from pathlib import Path

from garage.calc.ageing.robust import median, wild
from garage.calc.ageing.settling import settling
from garage.calc.ageing.trend import trend

DATA = Path(__file__).parent / "open_data" / "nasa_pcoe_summary.csv"
# Aged from new at one temperature, by the same steps.
AT_24 = ("B0025", "B0026", "B0027", "B0028")
AT_43 = ("B0029", "B0030", "B0031", "B0032")


@dataclass
class Cell:
    """One cell: resistance (Re + Rct, mΩ) and capacity (Ah) by discharges."""

    name: str
    resistance: list[tuple[int, float]] = field(default_factory=list)
    capacity: list[tuple[int, float]] = field(default_factory=list)


@dataclass(frozen=True)
class Told:
    """What the line through the first 60 % of a cell's readings says of its end, and what it did."""

    name: str
    count: int
    absurd: int
    at: int
    said: float
    low: float
    high: float
    did: float

    @property
    def late(self) -> bool:
        """The line stays below what the cell did: it would name the limit too late."""
        return self.said < self.did


def cells() -> dict[str, Cell]:
    found: dict[str, Cell] = {}
    with DATA.open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            cell = found.setdefault(row["cell"], Cell(row["cell"]))
            after = int(row["discharges_so_far"])
            if row["type"] == "impedance":
                cell.resistance.append((after, (float(row["Re_ohm"] or "nan") + float(row["Rct_ohm"] or "nan")) * 1000))
            else:
                cell.capacity.append((after, float(row["capacity_Ah"] or "nan")))
    return found


def without_absurd(series: list[tuple[int, float]]) -> list[tuple[int, float]]:
    places = set(wild([value for _, value in series]))
    return [pair for place, pair in enumerate(series) if place not in places]


def told(cell: Cell) -> Told | None:
    """None where fewer than ten readings can be used."""
    kept = without_absurd(cell.resistance)
    if len(kept) < 10:
        return None
    first = kept[: int(0.6 * len(kept))]
    settled = settling([after + 1 for after, _ in first], [value for _, value in first])
    since = settled.cycle - 1 if settled.cycle is not None else 0
    used = [pair for pair in first if pair[0] >= since]
    line = trend([after for after, _ in used], [value for _, value in used])
    if line is None:
        return None
    at = kept[-2][0]
    low, high = line.band(at)
    absurd = len(cell.resistance) - len(kept)
    return Told(cell.name, len(kept), absurd, at, line.value(at), low, high, median([value for _, value in kept[-3:]]))


def capacity_worn_at(cell: Cell) -> int | None:
    """After how many discharges capacity stayed under 80 % of its first; None if it never did."""
    kept = without_absurd(cell.capacity)
    first = median([value for _, value in kept[:3]])
    for (after, one), (_, other) in zip(kept, kept[1:], strict=False):
        if one < 0.8 * first and other < 0.8 * first:
            return after
    return None


def main() -> None:
    for cell in cells().values():
        found = told(cell)
        if found:
            side = "late" if found.late else "early"
            inside = "in" if found.low <= found.did <= found.high else "out"
            print(
                f"| {found.name} | {found.count} | {found.said:.0f} ({found.low:.0f} to {found.high:.0f}) | "
                f"{found.did:.0f} | {side}, {inside} | {capacity_worn_at(cell) or '–'} |"
            )


if __name__ == "__main__":
    main()
