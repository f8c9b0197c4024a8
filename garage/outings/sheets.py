"""What the pages of outings show."""

from dataclasses import dataclass, field
from typing import Annotated

from garage.corrections.sheets import Mended
from garage.fields.definition import Field
from garage.fields.showing import OWN, FieldValues, facts, values
from garage.measures import Measure
from garage.moments import Moment
from garage.outings.store import OutingCount
from garage.photos.sheets import Attached
from garage.runs.entry.pick_store import Option
from garage.runs.lines.line import RunLine
from garage.units import DisplayUnits
from garage.waters.fields import OUTING_FIELDS, outing_fields
from garage.waters.forms import outing_values
from garage.waters.tables import Outing, Water


@dataclass(frozen=True)
class OutingLine:
    """One outing in the list."""

    id: int
    started: Moment
    water: str
    runs: int
    waiting: int
    is_open: bool
    air: Measure
    wind: Measure
    surface: str
    notes: str
    fields: Annotated[FieldValues, OUTING_FIELDS, OWN]


@dataclass(frozen=True)
class OutingListSheet:
    """Outings, newest first."""

    rows: list[OutingLine]
    page: int
    more: bool


@dataclass(frozen=True)
class OutingFormSheet:
    """The form of an outing; `outing_id` is None for a new one."""

    outing_id: int | None
    waters: list[Option]
    values: dict[str, str]
    fields: tuple[Field, ...] = field(default_factory=outing_fields)


@dataclass(frozen=True)
class OutingRun:
    """One run on its outing's page: the line, what changed since the run before it, and what is missing."""

    line: RunLine
    changed: list[str]
    pack_rise: Measure
    missing: list[str]


@dataclass(frozen=True)
class OutingSheet:
    """An outing: its conditions, its runs, what was attached."""

    outing_id: int
    started: Moment
    water_id: int
    water: str
    water_rules: list[str]
    closed: Moment | None
    set_aside: bool
    conditions: list[tuple[str, Measure]]
    words: list[tuple[str, str]]
    notes: str
    rows: list[OutingRun]
    page: int
    more: bool
    corrections: list[Mended]
    attached: Attached
    values: dict[str, str]
    fields: Annotated[FieldValues, OUTING_FIELDS, OWN]


def outing_line(outing: Outing, water: str, count: OutingCount) -> OutingLine:
    """One outing as a line."""
    return OutingLine(
        outing.id,
        Moment(outing.started_at, outing.offset_min),
        water,
        count.runs,
        count.waiting,
        outing.closed_at is None,
        Measure(outing.air_c, "temperature"),
        Measure(outing.wind_ms, "wind"),
        outing.surface,
        outing.notes,
        values(outing_fields(), outing),
    )


def outing_form_sheet(outing: Outing | None, waters: list[Water], units: DisplayUnits, now: Moment) -> OutingFormSheet:
    """The form of `outing`, or of a new one that begins now."""
    options = [Option(str(one.id), one.name) for one in waters]
    if outing is None:
        return OutingFormSheet(None, options, {"started": now.local_text()})
    return OutingFormSheet(outing.id, options, outing_values(outing, units))


def conditions_of(outing: Outing) -> list[tuple[str, Measure]]:
    """The conditions that were written as measures; all of them as read at the water."""
    return [(fact.label, fact.measure) for fact in facts(outing_fields(), outing) if fact.measure]


def words_of(outing: Outing) -> list[tuple[str, str]]:
    """The conditions that are words."""
    return [(fact.label, fact.text) for fact in facts(outing_fields(), outing) if not fact.measure]
