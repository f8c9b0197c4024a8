"""The fields of a run form take what their columns take, to the last step, and nothing beyond."""

import re
from datetime import UTC, datetime

import pytest
from sqlalchemy import CheckConstraint

from garage.runs.entry.forms import read_facts
from garage.runs.tables import Run
from garage.units import DisplayUnits
from garage.web.fields import Reader

NOW = datetime(2026, 5, 9, 14, 30, tzinfo=UTC)
# The field of each column, and a step that is well seen of its kind.
FIELDS = {
    "speed_kmh": ("speed", 0.05), "averaging_s": ("averaging", 0.5), "passes": ("passes", 1),
    "course_m": ("course", 0.5),
    "duration_s": ("duration", 0.5), "full_throttle_s": ("full_throttle", 0.5),
    "water_inside_ml": ("water_inside", 0.5), "depth_m": ("depth", 0.5),
}  # fmt: skip


def _ends(column: str) -> tuple[float, float]:
    """What the database itself refuses to go beyond."""
    rules = [str(one.sqltext) for one in Run.__table__.constraints if isinstance(one, CheckConstraint)]
    [rule] = [text for text in rules if text.startswith(f"{column} IS NULL")]
    low, high = re.findall(r"[<>]= ([\d.]+)", rule)
    return float(low), float(high)


def _read(field: str, number: float) -> tuple[dict, dict[str, str]]:
    reader = Reader({field: f"{number}", "averaging_way": "window"}, DisplayUnits.metric(), NOW)
    return read_facts(reader), reader.errors


@pytest.mark.parametrize("column", FIELDS)
def test_a_field_takes_both_ends_of_its_column_and_refuses_what_is_beyond(column):
    (field, step), (low, high) = FIELDS[column], _ends(column)
    # A window of no length is a single reading, which has a word of its own.
    least = low + step if column == "averaging_s" else low
    for number in (least, high):
        facts, errors = _read(field, number)
        assert facts[column] == pytest.approx(number) and field not in errors
    for number in (least - step, high + step):
        assert field in _read(field, number)[1]
