"""What a person says about a log: which column is what, where it is cut, which run a piece belongs to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from garage.logs.readers.columns import ROLES, Picked
from garage.logs.readers.delimited import Preview
from garage.web.fields import Reader


@dataclass(frozen=True)
class CutFormData:
    """How long a rest is, the length of the marked course, and how soon the pass the other way has to follow."""

    rest_s: float
    course_m: float
    opposite_within_s: float


@dataclass(frozen=True)
class RestoreFormData:
    """Samples to let count, from one number to another, with the reason."""

    first: int
    last: int
    why: str


def unit_choices() -> list[tuple[str, str]]:
    """What a column can be, as `role|unit`."""
    return [(f"{role}|{unit}", unit) for role, units in ROLES.items() for unit in units]


def read_columns(reader: Reader, looked: Preview) -> dict[str, Picked]:
    """Which column is what. Raises FormErrors."""
    allowed = {value for value, _ in unit_choices()}
    picked: dict[str, Picked] = {}
    for column in range(len(looked.headings)):
        name = f"column{column}"
        chosen = reader.choice(name, allowed)
        if not chosen:
            continue
        role, _, unit = chosen.partition("|")
        if role in picked:
            reader.fail(name, "Another column was picked for that already.")
        else:
            picked[role] = Picked(column, unit)
    if not reader.errors and "time" not in picked:
        reader.fail("column0", "Say which column is the time.")
    elif not reader.errors and not set(picked) - {"time", "date", "hdop"}:
        reader.fail("column0", "Say which columns are to be read beside the time.")
    reader.finish()
    return picked


def read_cut(reader: Reader) -> CutFormData:
    """Where to cut, and over which course to measure. Raises FormErrors."""
    rest = reader.quantity("rest", "duration", 5, 3600, required=True)
    course = reader.quantity("course", "distance", 1, 5000, required=True)
    within = reader.quantity("within", "duration", 10, 86400, required=True)
    reader.finish()
    assert rest is not None and course is not None and within is not None
    return CutFormData(rest, course, within)


def read_restore(reader: Reader, samples: int) -> RestoreFormData:
    """Which samples to let count, and why. Raises FormErrors."""
    first = reader.whole("first", 0, max(samples - 1, 0), required=True)
    last = reader.whole("last", 0, max(samples - 1, 0)) if reader.text("last") else first
    why = reader.text("why", required=True, most=300)
    if first is not None and last is not None and last < first:
        reader.fail("last", "The last sample comes after the first.")
    reader.finish()
    assert first is not None and last is not None
    return RestoreFormData(first, last, why)


def read_runs(reader: Reader, numbers: Iterable[int], runs: Mapping[str, int]) -> dict[int, int | None]:
    """Which run each piece belongs to, by the piece's number. Raises FormErrors."""
    chosen = {number: reader.choice(f"piece{number}", runs) for number in numbers}
    reader.finish()
    return {number: runs[run] if run else None for number, run in chosen.items()}
