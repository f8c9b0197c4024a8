"""What a change really gained, from a table of runs."""

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from garage.calc.effect.answer import TARGET_PERCENT, Answer, Next, answer
from garage.calc.effect.answer import next_runs as plan_next
from garage.calc.effect.availability import available_from
from garage.calc.effect.planning.planner import MOST_RUNS
from garage.calc.effect.report import as_json, as_lines
from garage.calc.effect.runs import Question
from garage.calc.effect.table import Table, read_table
from garage.calc.effect.verdict import SMALLEST_PERCENT
from garage.errors import GarageError

__all__ = ["MOST_RUNS", "SMALLEST_PERCENT", "Answered", "answered", "as_json", "as_lines", "effect_of"]

_NEXT_RUNS = 4


@dataclass(frozen=True)
class Answered:
    """The answer, the runs that would narrow it most, and the table it rests on."""

    given: Answer
    following: Next
    table: Table


def effect_of(
    table: str | Iterable[Mapping[str, Any]],
    of: str,
    *,
    also: Sequence[str] = (),
    steps: Mapping[str, float] | None = None,
    smallest_percent: float = SMALLEST_PERCENT,
    available: str = "",
    next_runs: int = _NEXT_RUNS,
) -> dict[str, Any]:
    """What the change or setting in the column `of` really gained, as `garage effect --json`.

    `table` is CSV text, or rows as mappings; its columns are those of `garage effect --help`, in the order of the runs.
    Raises GarageError in words for a table that cannot be used.
    """
    text = table if isinstance(table, str) else _csv(table)
    found = answered(
        text, of, also=also, steps=steps, smallest_percent=smallest_percent, available=available, next_runs=next_runs
    )
    return as_json(found.given, found.following, found.table.ignored)


def answered(
    text: str,
    of: str,
    *,
    also: Sequence[str],
    steps: Mapping[str, float] | None,
    smallest_percent: float,
    available: str,
    next_runs: int,
) -> Answered:
    """The answer to a table of CSV text. Raises GarageError in words."""
    if not (smallest_percent > 0 and 1 <= next_runs <= MOST_RUNS):
        raise GarageError(f"The smallest difference is above 0, and the next runs are from 1 to {MOST_RUNS}.")
    try:
        table = read_table(text, of, also, steps)
        usable = available_from(available, table.runs, table.factors)
        about = "setting" if table.factors[0].is_setting else "change"
        given = answer(table.runs, table.factors, Question(about, of), smallest_percent=smallest_percent)
        return Answered(given, plan_next(given, usable, next_runs, TARGET_PERCENT), table)
    except ValueError as error:
        raise GarageError(str(error)) from error


def _csv(rows: Iterable[Mapping[str, Any]]) -> str:
    listed = list(rows)
    names = list(dict.fromkeys(name for row in listed for name in row))
    out = io.StringIO()
    writer = csv.DictWriter(out, names, restval="")
    writer.writeheader()
    writer.writerows({name: _cell(value) for name, value in row.items()} for row in listed)
    return out.getvalue()


def _cell(value: Any) -> Any:
    if isinstance(value, bool):
        return int(value)
    # A missing number in a data frame is the one that does not equal itself.
    return "" if value is None or value != value else value
