"""Open ageing data through the same code: absurd readings set aside, temperature, and forecasts against what was."""

import math

import pytest

from garage.calc.ageing.robust import median, wild
from tests.calc.ageing.open_cells import AT_24, AT_43, capacity_worn_at, cells, told, without_absurd

CELLS = cells()


def test_absurd_readings_are_set_aside_and_true_ones_stay():
    broken, whole = CELLS["B0050"], CELLS["B0025"]
    kept = [value for _, value in without_absurd(broken.resistance)]
    assert len(broken.resistance) - len(kept) == 4 and all(100 < value < 500 for value in kept)
    assert without_absurd(whole.resistance) == whole.resistance
    assert 0.0 not in [value for _, value in without_absurd(CELLS["B0045"].capacity)]


def test_no_number_and_nothing_are_absurd_whatever_stands_around():
    assert wild([2.0, float("nan"), 2.1, 0.0, -1.0, 2.0, float("inf"), 2.2]) == [1, 3, 4, 6]


def test_the_groups_at_24_and_43_degrees_differ_by_about_three_percent_a_kelvin():
    """Different cells in each group, hence rough: 2 to 5 % are let pass."""
    cold, warm = (
        median([math.log(median([v for _, v in without_absurd(CELLS[name].resistance)])) for name in names])
        for names in (AT_24, AT_43)
    )
    assert 0.02 < (cold - warm) / 19 < 0.05


def test_the_line_through_the_first_part_comes_late_more_often_than_early():
    forecasts = [found for cell in CELLS.values() if (found := told(cell))]
    assert len(forecasts) == 19
    assert sum(found.late for found in forecasts) == 12
    assert sum(found.low <= found.did <= found.high for found in forecasts) == 16


def test_where_capacity_wore_out_resistance_had_not_shown_it():
    """Six cells fell under 80 % of their first capacity; by resistance none had come near twice its first."""
    worn = {
        name: after for name in CELLS if name not in ("B0050", "B0052") and (after := capacity_worn_at(CELLS[name]))
    }
    assert sorted(worn) == ["B0045", "B0046", "B0047", "B0048", "B0049", "B0051"]
    for name, after in worn.items():
        kept = without_absurd(CELLS[name].resistance)
        first = median([value for _, value in kept[:3]])
        then = [value for when, value in kept if when <= after]
        assert max(then) < 1.5 * first, name


@pytest.mark.parametrize("name", ["B0050", "B0052"])
def test_a_cell_whose_readings_broke_off_gives_no_forecast(name):
    assert told(CELLS[name]) is None
