"""Which pack for what: packs that fit, as they stand today, with what they would do at a current."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from garage.calc.pack_use import sag_v
from garage.measures import Measure
from garage.moments import Moment
from garage.packs.break_in import Standing
from garage.packs.care import reminders, why_blocked
from garage.packs.care_store import Care
from garage.packs.log.cycles_store import Use
from garage.packs.log.latest_store import Resistance
from garage.packs.retirement import Verdict
from garage.packs.tables import Pack
from garage.shelf.lending import lent_to
from garage.shelf.tables import Loan

_OLD_READING_DAYS = 180


@dataclass(frozen=True)
class ChoiceLine:
    """One pack in the table. `read_by` is the method and instrument of its resistance, '' without one;
    `retire` the verdict by what was measured, `blocked` tells damage and heat."""

    id: int
    code: str
    cells: str
    capacity: Measure
    standing: str
    broken_in: bool
    blocked: str
    retire: str
    per_cell: Measure
    per_ah: str
    sag: Measure
    sag_share: Measure
    mass: Measure
    discharges: int
    last_used: str
    due: list[str]
    read_by: str = ""
    lent: str = ""


@dataclass(frozen=True)
class Known:
    """What is known of some packs, by id."""

    standings: Mapping[int, Standing]
    use: Mapping[int, Use]
    care: Mapping[int, Care]
    resistances: Mapping[int, Resistance]
    verdicts: Mapping[int, Verdict]


def choice_line(pack: Pack, known: Known, current_a: float, today: str, loan: Loan | None = None) -> ChoiceLine:
    """One pack at a current of `current_a`. Sag is of the cells alone at 25 °C: plugs and leads come on top,
    a warm pack sags less."""
    read, care, use = known.resistances.get(pack.id), known.care[pack.id], known.use[pack.id]
    measured = pack.capacity_measured_mah
    capacity = measured or pack.capacity_mah
    mean = read.mean_mohm if read else None
    sag = sag_v(current_a, read.pack_mohm) if read else None
    origin = f"{read.method}, {read.at.day()}, brought to 25 °C" if read else "not read under load yet"
    return ChoiceLine(
        id=pack.id,
        code=pack.code,
        lent=lent_to(loan),
        cells=f"{pack.cells_s}S" + (f"{pack.cells_p}P" if pack.cells_p > 1 else ""),
        capacity=Measure(capacity, "charge", "measured" if measured else "stated by the maker"),
        standing=known.standings[pack.id].text,
        broken_in=known.standings[pack.id].broken_in,
        blocked=why_blocked(pack.damage, care.temperature_c),
        retire=known.verdicts[pack.id].measured_words,
        per_cell=Measure(
            mean.value if mean else None,
            "resistance",
            origin,
            _old(read.at, today) if read else "",
            mean.low if mean else None,
            mean.high if mean else None,
        ),
        per_ah=f"{mean.value * capacity / 1000:.1f}" if mean else "",
        sag=Measure(sag, "voltage", "estimated: current × cells at 25 °C, without plugs and leads"),
        sag_share=Measure(sag / (3.7 * pack.cells_s) * 100 if sag is not None else None, "percent", "of nominal volts"),
        mass=Measure(pack.mass_g, "mass", "weighed"),
        discharges=known.standings[pack.id].discharges,
        last_used=use.last[:10],
        due=[one.text for one in reminders(care.last, care.rested.at.date() if care.rested else "", today)],
        read_by=", ".join(part for part in (read.method, read.instrument) if part) if read else "",
    )


def ways_of_reading(lines: Sequence[ChoiceLine]) -> list[str]:
    """How the resistances of `lines` were read, each method with its instrument once. With more than one the
    figures are not to be set against each other."""
    return sorted({line.read_by for line in lines if line.read_by})


def in_order(lines: Sequence[ChoiceLine]) -> list[ChoiceLine]:
    """The best first: nothing against it, broken in, then the least sag; those without a reading after those with."""
    return sorted(
        lines,
        key=lambda line: (
            bool(line.blocked or line.retire),
            not line.broken_in,
            line.sag.value is None,
            line.sag_share.value or 0.0,
            line.code,
        ),
    )


def _old(at: Moment, today: str) -> str:
    days = (date.fromisoformat(today) - date.fromisoformat(at.date())).days
    return f"{days} days old" if days > _OLD_READING_DAYS else ""
