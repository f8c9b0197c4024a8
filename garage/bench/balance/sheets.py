"""What the balance sheet of a build state shows."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from garage.bench.balance.part_lines import PART_FIELDS, parts_of
from garage.bench.definition import WrongLine
from garage.bench.tables import ScaleReading
from garage.calc.balance import balance, two_scales
from garage.fields.definition import Field
from garage.hulls.tables import Hull
from garage.measures import Measure
from garage.moments import Moment
from garage.states.fold import Content, at_place
from garage.states.settings_list import BALANCE
from garage.states.tables import BuildState
from garage.web.rows import fields_of_lines

_FROM_PARTS = "computed from the parts and their places"
# Further apart than this, parts and weighing tell of different boats: a part forgotten, or a place wrong.
_FAR_APART_PERCENT = 2.0


@dataclass(frozen=True)
class ScaleLine:
    """One weighing on two scales, and what follows from it."""

    id: int
    at: Moment
    mass: Measure
    point: Measure
    percent: Measure
    note: str


@dataclass(frozen=True)
class BalancePage:
    """Parts with places, what they come to, what was measured, and how far the two are apart."""

    hull_id: int
    hull: str
    number: int
    parts: str
    parts_from: str
    computed: list[tuple[str, Measure]]
    measured: list[tuple[str, Measure]]
    apart: str
    scales: list[ScaleLine]
    length: str
    problem: str
    values: dict[str, str]
    part_names: list[str]
    part_fields: tuple[Field, ...] = PART_FIELDS


def balance_page(
    hull: Hull,
    found: BuildState,
    content: Content,
    parts: str,
    parts_from: str,
    readings: Sequence[ScaleReading],
) -> BalancePage:
    """The page; `parts` are the lines kept, or those the garage can begin with."""
    computed, problem = _computed(parts, hull.length_mm)
    scales = [_scale_line(row, hull.length_mm) for row in readings]
    measured = _measured(content.settings)
    return BalancePage(
        hull.id,
        hull.name,
        found.number,
        parts,
        parts_from,
        computed,
        measured,
        _apart(computed, scales, hull.length_mm),
        scales,
        f"{hull.length_mm:g} mm" if hull.length_mm else "",
        problem,
        fields_of_lines("part", [field.name for field in PART_FIELDS], parts),
        [line.partition(";")[0] for line in parts.splitlines() if line.strip()],
    )


def _computed(parts: str, length_mm: float | None) -> tuple[list[tuple[str, Measure]], str]:
    try:
        found = balance(parts_of(parts))
    except WrongLine as wrong:
        name = parts.splitlines()[wrong.number - 1].partition(";")[0]
        return [], f"Of “{name[:60]}”, {wrong.field or 'its figures'}: {wrong.words[:1].lower()}{wrong.words[1:]}"
    except ValueError as error:
        return [], str(error) if parts else ""
    lines = [
        ("Balance point from the transom", Measure(found.lcg_mm, "length", _FROM_PARTS)),
        ("Of the length", Measure(found.lcg_mm / length_mm * 100 if length_mm else None, "percent", _FROM_PARTS)),
        ("Mass", Measure(found.mass_g, "mass", "sum of the parts")),
        ("To the right of the keel line", Measure(found.tcg_mm, "length", _FROM_PARTS)),
        ("Above the keel", Measure(found.vcg_mm, "length", _FROM_PARTS)),
    ]
    return [line for line in lines if line[1].value is not None], ""


def _measured(settings: Mapping[str, Any]) -> list[tuple[str, Measure]]:
    lines = []
    point = settings.get(at_place(BALANCE, "single"))
    if isinstance(point, dict):
        lines.append(("Balance point", Measure(point.get("mm"), "length", f"measured from {point.get('datum', '')}")))
        lines.append(
            ("In percent", Measure(point.get("percent"), "percent", f"of the length, from {point.get('datum', '')}"))
        )
    weighed = settings.get(at_place("running_mass", "single"))
    lines.append(("Running mass", Measure(weighed, "mass", "weighed, with the packs in")))
    return [line for line in lines if line[1].value is not None]


def _scale_line(row: ScaleReading, length_mm: float | None) -> ScaleLine:
    mass_g, lcg_mm = two_scales(row.first_x_mm, row.first_g, row.second_x_mm, row.second_g)
    percent = lcg_mm / length_mm * 100 if length_mm else None
    how = "weighed on two scales"
    return ScaleLine(
        row.id,
        Moment(row.at, row.offset_min),
        Measure(mass_g, "mass", how),
        Measure(lcg_mm, "length", how),
        Measure(percent, "percent", how),
        row.note,
    )


def _apart(computed: list[tuple[str, Measure]], scales: list[ScaleLine], length_mm: float | None) -> str:
    """In words, if the parts and the latest weighing do not agree."""
    if not computed or not scales or not length_mm:
        return ""
    by_parts, weighed = computed[0][1].value, scales[0].point.value
    assert by_parts is not None and weighed is not None
    percent = (by_parts - weighed) / length_mm * 100
    if abs(percent) <= _FAR_APART_PERCENT:
        return ""
    side = "further forward" if percent > 0 else "further aft"
    by_how_much = f"{abs(percent):.1f} % of the length {side}"
    return f"The parts put the balance point {by_how_much} than the scales: a part is missing, or a place is wrong."
