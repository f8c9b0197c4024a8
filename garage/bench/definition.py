"""What a calculator is. One definition makes its page, its command and its JSON."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from garage.fields.definition import Field

USUAL = "Usual values, seldom changed"
# How units are written where a keyboard must do: on the command line and in JSON.
_PLAIN = {
    "mΩ": "mohm", "Ω": "ohm", "°C": "degC", "°F": "degF", "°": "deg", "kg/m³": "kg/m3", "mm²": "mm2", "cm²": "cm2",
    "mm³": "mm3", "m²/s": "m2/s", "µm": "um", "m²/l": "m2/l", "m/s²": "m/s2", "C": "1/h",
}  # fmt: skip


def plain_unit(label: str) -> str:
    """A unit's label in plain letters: `mm2`, `degC`, `mohm`."""
    return _PLAIN.get(label, label)


class WrongLine(ValueError):
    """A line of a list that cannot be read: which one, from 1, and in which of its fields, if it is one of them."""

    def __init__(self, number: int, line: str, field: str, words: str, beside: str = "") -> None:
        """`words` tell of the whole line, `beside` of that field alone, if that is said otherwise."""
        super().__init__(f"“{line[:60]}”: {words}")
        told = beside or words
        self.number, self.field, self.words = number, field, told[:1].upper() + told[1:]


class WrongInput(Exception):
    """Inputs that cannot be computed with; `errors` holds a message for each, "" for all of them together."""

    def __init__(self, errors: Mapping[str, str], beside: Mapping[str, str] | None = None) -> None:
        """`beside` has the same messages by the fields of a page, where a list has several."""
        super().__init__("; ".join(f"{name}: {text}" if name else text for name, text in errors.items()))
        self.errors = dict(errors)
        self.beside = dict(errors if beside is None else beside)


@dataclass(frozen=True)
class Input:
    """One input. `kind` is a kind of measure, or number, whole, fraction, choice, text or lines.

    Bare numbers are in `unit`, and so is the value that is computed with. `default` is a text, as typed; without
    one the input is needed unless `optional`. `many` takes several, separated by `;`. `low` and `high` are
    inclusive, `above` and `below` are not. One with a `fold` is folded away on the page under these words, as the
    usual values are that seldom change; one `only_for` some choices of a section is in sight with these. Lines, and a
    text of several parts, name the fields `of` each; `each` is what one of a list is called, and `rows` how many a
    page shows at least.
    """

    name: str
    label: str
    unit: str = ""
    kind: str = "number"
    default: str = ""
    optional: bool = False
    many: bool = False
    low: float | None = None
    high: float | None = None
    above: float | None = None
    below: float | None = None
    choices: tuple[str, ...] = ()
    hint: str = ""
    fold: str = ""
    only_for: tuple[str, ...] = ()
    of: tuple[Field, ...] = ()
    each: str = ""
    rows: int = 2

    @property
    def is_list(self) -> bool:
        """Whether a page has several fields for it."""
        return self.many or bool(self.of)

    @property
    def written(self) -> str:
        """How its parts are written one behind the other, where there are several."""
        return ";".join(field.name for field in self.of)

    @property
    def needed(self) -> bool:
        """Whether there is no answer without it."""
        return not self.optional and not self.default

    @property
    def plain_unit(self) -> str:
        """Its unit in plain letters."""
        return "fraction" if self.kind == "fraction" else plain_unit(self.unit)


@dataclass(frozen=True)
class Result:
    """One result. `kind` is a kind of measure, or number, fraction, flag or text; `decimals` for a page."""

    name: str
    label: str
    unit: str = ""
    kind: str = "number"
    decimals: int | None = None

    @property
    def plain_unit(self) -> str:
        """Its unit in plain letters."""
        return "fraction" if self.kind == "fraction" else plain_unit(self.unit)


@dataclass(frozen=True)
class Ranged:
    """A value that is known as a range; `value` may be None where only the ends mean anything."""

    value: float | None
    low: float | None
    high: float | None


Value = float | int | bool | str | None | Ranged


@dataclass(frozen=True)
class Answer:
    """What a calculator makes of its inputs: a value for each result, and what to bear in mind. `headline` names the
    result that a page shows large this once, where the usual one would be taken for more than it is."""

    results: Mapping[str, Value]
    cautions: tuple[str, ...] = ()
    headline: str = ""


@dataclass(frozen=True)
class Example:
    """Inputs as typed, with where they are from and how far the figures can be trusted."""

    inputs: Mapping[str, str]
    source: str


@dataclass(frozen=True)
class Calculator:
    """One question that can be computed. `fills` names what of the garage can fill it: prop, motor, pack, hull, run;
    `headline` the result that a page shows large, the first unless named."""

    name: str
    title: str
    question: str
    group: str
    inputs: tuple[Input, ...]
    results: tuple[Result, ...]
    work: Callable[[Mapping[str, Any]], Answer]
    source: str
    valid: str
    example: Example
    fills: tuple[str, ...] = ()
    drawings: tuple[str, ...] = ()
    headline: str = ""
    by_name: Mapping[str, Input] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "by_name", {one.name: one for one in self.inputs})


@dataclass(frozen=True)
class Worked:
    """A calculator with inputs read and the answer computed."""

    calculator: Calculator
    given: Mapping[str, Any]
    answer: Answer


def out_of_range(name: str, value: float, low: float, high: float, unit: str = "") -> tuple[str, ...]:
    """A caution, if `value` lies outside what a formula is published for; else none."""
    if low <= value <= high:
        return ()
    suffix = f" {unit}" if unit else ""
    return (f"{name} is {value:.4g}{suffix}: outside the range of this computation, {low:g} to {high:g}{suffix}.",)
