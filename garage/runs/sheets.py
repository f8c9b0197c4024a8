"""What a run's own page shows: every figure with where it came from."""

from collections.abc import Sequence
from dataclasses import dataclass
from types import SimpleNamespace
from typing import Annotated

from garage.corrections.sheets import Mended
from garage.fields.definition import Field
from garage.fields.forms import held
from garage.fields.showing import OWN, Fact, FieldValues, facts
from garage.measures import Measure
from garage.moments import Moment
from garage.photos.sheets import Attached
from garage.runs.against_store import Against
from garage.runs.counting import SpeedStanding
from garage.runs.fields import COUNTS, FIELDS, INCIDENT_FIELDS, PACK_FIELDS, RunField, run_fields
from garage.runs.lines.flags import Flag
from garage.runs.lines.line import RunLine
from garage.runs.service_due import ServiceDue
from garage.runs.tables import Run, RunTemperature

# Cells that stand further apart are a reason to look at the pack; a list of such reasons, an excerpt.
WIDEST_SPREAD_V = 0.10
# More put back than this share of the capacity is more than most take out; a thread on LiPo use, an excerpt.
USUAL_SHARE_PERCENT = 80


@dataclass(frozen=True)
class RunListSheet:
    """Runs, newest first; of one hull if `hull_id` is given."""

    rows: list[RunLine]
    hull_id: int | None
    hull: str
    page: int
    more: bool


@dataclass(frozen=True)
class PropRow:
    """A prop of a run."""

    prop_id: int
    place: str
    text: str


@dataclass(frozen=True)
class PackRow:
    """A pack of a run with what was read off it, and what follows from that; `standing` is as of the run, `retire`
    the verdict on it now."""

    pack_id: int
    code: str
    text: str
    wiring: str
    standing: str
    retire: str
    start_temperature: Measure
    rested: Measure
    rested_per_cell: Measure
    charge: Measure
    share: Measure
    average_current: Measure
    voltage_after: Measure
    volts_after: str
    spread: Measure
    fields: Annotated[FieldValues, PACK_FIELDS]
    listed: list[Fact]


@dataclass(frozen=True)
class TemperatureRow:
    """A reading after the run, as read and as a rise over the air."""

    spot: str
    place: str
    pack: str
    reading: Measure
    after: Measure
    rise: Measure
    note: str


@dataclass(frozen=True)
class IncidentRow:
    """Something that happened in a run."""

    id: int
    kind: str
    cause: str
    recovered: str
    damaged: bool
    spoiled_speed: bool
    note: str
    set_aside: bool


@dataclass(frozen=True)
class PinRow:
    """A move of the run from one build state to another."""

    day: Moment
    from_number: int
    to_number: int
    why: str


@dataclass(frozen=True)
class RunSheet:
    """One run."""

    line: RunLine
    start_known: bool
    set_aside_reason: str
    speed: Measure
    counting: SpeedStanding
    against: Against | None
    flags: list[Flag]
    measures: list[tuple[str, Measure]]
    words: list[tuple[str, str]]
    ratings: list[tuple[str, int, str, str]]
    try_next: str
    try_next_done: bool
    props: list[PropRow]
    packs: list[PackRow]
    worked_out: list[tuple[str, Measure]]
    temperatures: list[TemperatureRow]
    incidents: list[IncidentRow]
    services: list[ServiceDue]
    missing: list[str]
    waiting: bool
    waved: bool
    pins: list[PinRow]
    corrections: list[Mended]
    attached: Attached
    values: dict[str, str]
    fields: Annotated[FieldValues, FIELDS, OWN]
    incident_fields: tuple[Field | RunField, ...] = INCIDENT_FIELDS
    answers: tuple[str, ...] = COUNTS

    @property
    def warmest(self) -> TemperatureRow | None:
        """The reading after the run that rose most over the air."""
        risen = [row for row in self.temperatures if row.rise.value is not None]
        return max(risen, key=lambda row: row.rise.value or 0, default=None)


def ratings_of(run: Run) -> list[tuple[str, int, str, str]]:
    """What was rated: name, step of five, word at each end."""
    rated = [(rating, getattr(run, rating.column)) for rating in FIELDS if rating.kind == "rating"]
    return [(rating.label, step, rating.ends[0], rating.ends[1]) for rating, step in rated if step is not None]


def measures_of(run: Run) -> list[tuple[str, Measure]]:
    """Figures of the run itself, beside its speed."""
    return [(fact.label, fact.measure) for fact in _facts(run) if fact.measure]


def words_of(run: Run) -> list[tuple[str, str]]:
    """What was written in words."""
    return [(fact.label, fact.text) for fact in _facts(run) if not fact.measure]


def _facts(run: Run) -> list[Fact]:
    """What stands among the facts; a single reading has no window."""
    fields = run_fields()
    return facts(fields, SimpleNamespace(**{**held(fields, run), "averaging_s": run.averaging_s or None}))


def share_of(charge_mah: float | None, capacity_mah: float, how: str) -> Measure:
    """How much of the capacity was put back, in percent."""
    share = charge_mah / capacity_mah * 100 if charge_mah is not None else None
    caution = f"over {USUAL_SHARE_PERCENT} %" if share is not None and share > USUAL_SHARE_PERCENT else ""
    return Measure(share, "percent", f"charge put back by {how} capacity", caution)


def average_current(charge_mah: float | None, duration_s: float | None) -> Measure:
    """Mean current of a run, A: 3.6 x charge (mAh) by duration (s). Charging losses are still in it."""
    current = 3.6 * charge_mah / duration_s if charge_mah is not None and duration_s else None
    return Measure(current, "current", "computed: charge put back by duration")


def spread_of(volts: Sequence[float]) -> Measure:
    """How far the cells stand apart after the run."""
    spread = round(max(volts) - min(volts), 4) if len(volts) > 1 else None
    caution = "cells far apart" if spread is not None and spread > WIDEST_SPREAD_V else ""
    return Measure(spread, "voltage", "computed: highest less lowest cell", caution)


def temperature_row(row: RunTemperature, air_c: float | None, pack: str, caution: str) -> TemperatureRow:
    """A reading, and its rise over the air of the outing."""
    rise = row.temperature_c - air_c if air_c is not None else None
    return TemperatureRow(
        row.spot,
        "" if row.place == "single" else row.place,
        pack,
        Measure(row.temperature_c, "temperature", "measured", caution),
        Measure(row.seconds_after, "time_after"),
        Measure(rise, "temperature_rise", "reading less the air of the outing"),
        row.note,
    )
