"""What the bench and a calculator's page show."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from garage.bench.definition import Calculator, Input, Ranged, Result, Value, Worked
from garage.bench.figures import Figure
from garage.bench.reading import work
from garage.bench.store import Choice
from garage.fields.definition import Field
from garage.measures import Measure
from garage.units import KINDS, convert

# Under which name the garage's figures go into an input that is called otherwise, by calculator.
_CALLED = {
    "rest-voltage": {"voltage": "rested_per_cell"},
    "refill": {"voltage": "mean_voltage"},
    "slip": {"speed": "speed_at_shaft"},
    "tip-speed": {"speed": "speed_at_shaft"},
    "what-if": {
        "voltage": "motor_loaded_voltage",
        "resistance": "motor_resistance",
        "current": "motor_current",
        "capacity": "motor_capacity",
        "pack_resistance": "motor_pack_resistance",
        "full_throttle_share": "motor_full_throttle_share",
    },
    "motor": {"voltage": "motor_loaded_voltage", "resistance": "motor_resistance", "current": "motor_current"},
    "water": {"temperature": "water_temperature"},
    "air": {"temperature": "air_temperature"},
    "pack-heat": {"mass": "pack_mass", "air_temperature": "start_temperature", "current": "pack_current"},
    "resistance-at": {"resistance": "reading_resistance", "temperature": "reading_temperature"},
    "planing": {"mass": "running_mass"},
    "bottom-strip": {"length": "", "width": ""},
}


@dataclass(frozen=True)
class CalculatorLine:
    """One calculator in the list."""

    name: str
    title: str
    question: str


@dataclass(frozen=True)
class BenchSheet:
    """The bench: its calculators by what they are about."""

    groups: list[tuple[str, list[CalculatorLine]]]


@dataclass(frozen=True)
class FieldRow:
    """One input as a field; `hint` holds its unit and what to bear in mind, `origin` where its value came from. A list
    has fields `of` each entry, or one for each; `each` is what an entry is called."""

    name: str
    label: str
    kind: str
    hint: str
    choices: tuple[str, ...]
    needed: bool
    origin: str
    fold: str
    each: str
    rows: int
    of: tuple[Field, ...]
    is_list: bool
    begins: str
    only_for: tuple[str, ...]

    @property
    def first_names(self) -> list[str]:
        """What its field is called, or the fields of the first entry of a list, and the list itself."""
        first = f"{self.name}_1"
        return [self.name, *([f"{first}_{field.name}" for field in self.of] or [first] if self.is_list else [])]


@dataclass(frozen=True)
class ResultRow:
    """One result: a measure, or a text where it is none."""

    name: str
    label: str
    measure: Measure | None
    text: str
    decimals: int | None


@dataclass(frozen=True)
class FillFrom:
    """What of one kind the page can be filled from, and what it is filled from now."""

    kind: str
    choices: list[Choice]
    chosen: str


@dataclass(frozen=True)
class Side:
    """Which side of a run with two of everything the page is filled from, and which there are."""

    taken: str
    sides: tuple[str, ...]


@dataclass(frozen=True)
class ExampleSheet:
    """The worked example: inputs and results as texts, the address that puts them in, and its source."""

    inputs: list[tuple[str, str]]
    results: list[ResultRow]
    cautions: tuple[str, ...]
    source: str
    values: Mapping[str, str]


@dataclass(frozen=True)
class IntoStep:
    """A modification that the piece could become a step of, and the address of that step's form, filled in."""

    title: str
    url: str


@dataclass(frozen=True)
class CalculatorSheet:
    """One calculator: its question, its fields, its answer if there is one."""

    name: str
    title: str
    question: str
    source: str
    valid: str
    fields: list[FieldRow]
    results: list[ResultRow]
    cautions: tuple[str, ...]
    fills: list[FillFrom]
    side: Side | None
    drawings: tuple[str, ...]
    example: ExampleSheet
    into_steps: list[IntoStep]
    values: dict[str, str]


def bench_sheet(calculators: Sequence[Calculator]) -> BenchSheet:
    """The list of calculators."""
    groups: dict[str, list[CalculatorLine]] = {}
    for one in calculators:
        groups.setdefault(one.group, []).append(CalculatorLine(one.name, one.title, one.question))
    return BenchSheet(list(groups.items()))


def filled(calculator: Calculator, figures: Mapping[str, Figure]) -> dict[str, Figure]:
    """The figures that go into this calculator's inputs, by input."""
    called = _CALLED.get(calculator.name, {})
    wanted = {one.name: called.get(one.name, one.name) for one in calculator.inputs}
    return {name: figures[wanted[name]] for name in wanted if wanted[name] in figures}


def calculator_sheet(
    calculator: Calculator,
    worked: Worked | None,
    fills: list[FillFrom],
    figures: Mapping[str, Figure],
    into_steps: Sequence[IntoStep] = (),
    side: Side | None = None,
) -> CalculatorSheet:
    """The page of a calculator; `figures` are those filled in, from one `side` where there are two."""
    defaults = {one.name: one.default for one in calculator.inputs if one.default}
    return CalculatorSheet(
        calculator.name,
        calculator.title,
        calculator.question,
        calculator.source,
        calculator.valid,
        [_field(one, figures) for one in calculator.inputs],
        result_rows(worked) if worked else [],
        worked.answer.cautions if worked else (),
        fills,
        side,
        calculator.drawings,
        _example(calculator),
        list(into_steps),
        defaults | {name: figure.text for name, figure in figures.items()},
    )


def result_rows(worked: Worked) -> list[ResultRow]:
    """The results that have something to say, in their order but for the headline, which comes first."""
    rows = [_row(one, worked.answer.results.get(one.name)) for one in worked.calculator.results]
    told = [row for row in rows if row.text or row.measure is not None]
    headline = worked.answer.headline or worked.calculator.headline
    return sorted(told, key=lambda row: row.name != headline)


def _field(one: Input, figures: Mapping[str, Figure]) -> FieldRow:
    if one.default and one.kind != "choice":
        known = f"{one.default} unless written"
    else:
        known = "may stay empty" if one.optional else ""
    hint = ", ".join(text for text in (one.unit, known, one.hint) if text)
    origin = figures[one.name].origin if one.name in figures else ""
    return FieldRow(
        one.name, one.label, one.kind, hint, one.choices, one.needed, origin, one.fold, one.each,
        one.rows if one.each else 1, one.of, one.is_list, one.default, one.only_for,
    )  # fmt: skip


def _example(calculator: Calculator) -> ExampleSheet:
    worked = work(calculator, calculator.example.inputs)
    labels = [
        (calculator.by_name[name].label, _with_unit(calculator.by_name[name], text))
        for name, text in calculator.example.inputs.items()
    ]
    return ExampleSheet(
        labels, result_rows(worked), worked.answer.cautions, calculator.example.source, calculator.example.inputs
    )


def _with_unit(one: Input, text: str) -> str:
    bare = one.unit and text[-1:].isdigit()
    return f"{text} {one.unit}" if bare and "\n" not in text else text


def _row(result: Result, value: Value) -> ResultRow:
    if isinstance(value, bool):
        return ResultRow(result.name, result.label, None, "yes" if value else "no", None)
    if value is None or isinstance(value, str):
        return ResultRow(result.name, result.label, None, value or "", None)
    middle, low, high = (value.value, value.low, value.high) if isinstance(value, Ranged) else (value, None, None)
    if middle is None:
        return ResultRow(result.name, result.label, None, "not known", None)
    if result.kind in KINDS:
        stored = KINDS[result.kind].storage_unit
        ends = [None if end is None else convert(end, result.kind, result.unit, stored) for end in (middle, low, high)]
        measure = Measure(ends[0], result.kind, "", low=ends[1], high=ends[2])
        return ResultRow(result.name, result.label, measure, "", result.decimals)
    text = _plain(result, middle)
    if low is not None and high is not None:
        text += f" ({_plain(result, low)} to {_plain(result, high)})"
    return ResultRow(result.name, result.label, None, text, None)


def _plain(result: Result, value: float) -> str:
    """A pure number; a fraction as percent as well would be two figures for one, so it stays a fraction."""
    decimals = result.decimals if result.decimals is not None else 3 if result.kind == "fraction" else 2
    return f"{value:.{decimals}f}".replace("-", "\u2212")
