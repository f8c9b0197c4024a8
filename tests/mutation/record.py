"""The runs so far, in docs/mutation.csv: what the share stands on."""

import csv
from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from tests.mutation.report import share_words
from tests.mutation.trial import Tried
from tests.paths import ROOT

PATH = ROOT / "docs" / "mutation.csv"
LATEST = 3


class Run(NamedTuple):
    """One run: mutants drawn and caught, the named ones apart."""

    day: str
    seed: int
    drawn: int
    caught: int
    named: int
    named_caught: int


def run_of(seed: int, tried: Sequence[Tried]) -> Run:
    """What a run came to."""
    drawn = [one.is_caught for one in tried if not one.is_named]
    named = [one.is_caught for one in tried if one.is_named]
    return Run(date.today().isoformat(), seed, len(drawn), sum(drawn), len(named), sum(named))


def runs() -> list[Run]:
    """The runs kept, in their order."""
    with PATH.open(encoding="utf-8", newline="") as file:
        return [Run(row["day"], *(int(row[name]) for name in Run._fields[1:])) for row in csv.DictReader(file)]


def keep(run: Run) -> None:
    """Add a run."""
    with PATH.open("a", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerow(run)


def latest(*new: Run) -> tuple[int, int]:
    """Mutants caught and drawn in the latest runs, `new` ones last."""
    counted = [*runs(), *new][-LATEST:]
    return sum(one.caught for one in counted), sum(one.drawn for one in counted)


def latest_words(*new: Run) -> str:
    """The same in words."""
    return f"The latest {LATEST} runs together: {share_words(*latest(*new)).strip()}"
