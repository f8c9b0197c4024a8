"""The bench's calculators: one question, its inputs by name, its answer with units."""

from collections.abc import Iterable, Mapping
from typing import Any

from garage.bench.catalog import CALCULATORS
from garage.bench.definition import Calculator, Worked, WrongInput
from garage.bench.reading import as_json, work
from garage.errors import GarageError

__all__ = ["CALCULATORS", "Unusable", "as_json", "calc_of", "calculator", "worked_out"]

Given = str | float | bool | Iterable[float | str]


class Unusable(GarageError):
    """What was asked cannot be computed; one line for people."""


def calc_of(name: str, /, **inputs: Given) -> dict[str, Any]:
    """The answer of the calculator `name`, as `garage calc NAME --json`: inputs and results with units, cautions, and
    the source.

    A number is in the unit that the calculator states, a text may carry any unit (`pitch="2.6 in"`), and what takes
    several values takes a list. Raises GarageError in words for anything that cannot be computed with.
    """
    asked = calculator(name)
    return as_json(worked_out(asked, {key: _text(given) for key, given in inputs.items()}))


def calculator(name: str) -> Calculator:
    """The calculator of that name. Raises Unusable, naming those there are."""
    if name not in CALCULATORS:
        raise Unusable(f"There is no calculator “{name[:40]}”. There are: {', '.join(CALCULATORS)}.")
    return CALCULATORS[name]


def worked_out(asked: Calculator, typed: Mapping[str, str]) -> Worked:
    """The answer to inputs as typed. Raises Unusable, in one line."""
    try:
        return work(asked, typed)
    except WrongInput as wrong:
        raise Unusable(f"{asked.name}: {' '.join(str(wrong).split())}") from wrong


def _text(given: Given) -> str:
    if isinstance(given, bool):
        return "yes" if given else "no"
    if isinstance(given, str | int | float):
        return str(given)
    return ";".join(map(str, given))
