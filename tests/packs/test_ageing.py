"""What resistance readings of a pack say: compared or left out, limits, drift, wording."""

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.calc.ageing.temperature import ratio_to_reference
from garage.calc.ageing.trend import Forecast
from garage.moments import Moment
from garage.packs.ageing.capacity import Test as CapacityTest
from garage.packs.ageing.capacity import capacity_of
from garage.packs.ageing.trend import Point, ageing, comparable
from garage.packs.ageing.words import date_words, reach_words, settling_words, slope_words
from garage.packs.retirement import Condition, verdict_on


def at(day: int) -> Moment:
    return Moment(f"2026-{1 + day // 28:02d}-{1 + day % 28:02d}T10:00:00Z", 0)


def point(day: int, cells=(2.0, 2.1, 2.05), temperature=22.0, charge=50.0, discharges=None) -> Point:
    return Point(at(day), day if discharges is None else discharges, tuple(cells), temperature, charge)


def worn(count=16, per_discharge=0.004, apart=0.0, seed=1) -> list[Point]:
    """Readings every five discharges at 18 to 26 °C; cell 3 rises faster by `apart`."""
    draws, points = random.Random(seed), []
    for number in range(count):
        after, celsius = 5 * number, draws.uniform(18, 26)
        cells = tuple(
            base
            * math.exp((per_discharge + (apart if place == 2 else 0)) * after + draws.gauss(0, 0.02))
            * ratio_to_reference(celsius, 2600)
            for place, base in enumerate((2.0, 2.1, 2.05))
        )
        points.append(Point(at(number * 7), after, cells, celsius, 50.0))
    return points


@pytest.mark.parametrize(
    ("odd", "why"),
    [
        (point(90, temperature=None), "temperature was not written"),
        (point(90, temperature=-10), "too far away to be brought to 25 °C"),
        (point(90, temperature=34), "12 K warmer"),
        (point(90, charge=95), "state of charge 45 points"),
        (point(90, cells=(9.0, 9.0, 9.0)), "more than twice"),
    ],
)
def test_a_reading_that_cannot_be_compared_is_left_out_with_the_reason(odd, why):
    points = [point(day) for day in range(0, 80, 10)]
    compared, left_out = comparable([*points, odd])
    assert len(compared) == len(points) and len(left_out) == 1 and why in left_out[0].why
    assert ageing([*points, odd], None).cells[0].raw[-1][0] == odd


@given(st.lists(st.tuples(st.floats(-20, 60) | st.none(), st.floats(0, 100) | st.none()), max_size=25))
def test_compared_readings_are_never_more_than_15_k_and_30_points_apart(conditions):
    points = [point(day, temperature=t, charge=c) for day, (t, c) in enumerate(conditions)]
    compared, left_out = comparable(points)
    assert len(compared) + len(left_out) == len(points)
    for values, span in (([p.temperature_c for p in compared], 15), ([p.charge_percent for p in compared], 30)):
        known = [value for value in values if value is not None]
        assert not known or max(known) - min(known) <= span + 1e-9


def test_the_trend_of_a_pack_that_wears_holds_the_truth_nine_times_in_ten():
    """60 cells of 20 packs; an interval of 90 % that is true misses fewer than ten of them."""
    cells = [cell for seed in range(20) for cell in ageing(worn(seed=seed), None).cells]
    held = sum(cell.line.slope_low <= 0.004 <= cell.line.slope_high for cell in cells)
    assert held >= 50
    assert all(100 < cell.forecast.cycle < 260 and not cell.at_limit for cell in cells)


def test_a_cell_apart_from_its_mates_is_found_and_the_others_are_not_blamed():
    said = ageing(worn(apart=0.004), None)
    assert [bool(cell.drift.apart) for cell in said.cells] == [False, False, True]


def test_ones_own_limit_goes_before_twice_the_first_readings():
    said = ageing(worn(per_discharge=0.01), 2.5)
    assert all(cell.limit == 2.5 for cell in said.cells) and said.cells[0].at_limit
    assert reach_words(said.cells[0].forecast, 80, said.cells[0].at_limit) == "at the limit now, as measured"


def test_no_readings_say_nothing_and_break_nothing():
    said = ageing([], None)
    assert said.cells == [] and said.worst is None and "not proven" in settling_words(said.settling)


def test_a_single_cell_has_no_mates_to_be_apart_from():
    said = ageing([point(day, cells=(2.0,)) for day in range(0, 60, 10)], None)
    assert not said.cells[0].drift.apart and said.cells[0].ratio == 1.0


@pytest.mark.parametrize(
    ("found", "words"),
    [
        (Forecast(None, None, None), "no end in sight yet"),
        (Forecast(200.0, 150.0, None), "not before discharge 150"),
        (Forecast(200.0, 150.0, 300.0), "at the latest, if it goes on so: discharge 200 (150 to 300)"),
        (Forecast(60.0, 50.0, 70.0), "past the limit already"),
        (Forecast(9000.0, 100.0, 20000.0), "no end in sight yet"),
        (Forecast(120.0, 50.0, 300.0), "discharge 120 (80 to 300)"),
    ],
)
def test_a_forecast_is_worded_as_the_latest_or_not_at_all(found, words):
    assert words in reach_words(found, 80, False)


def test_a_date_goes_by_the_pace_of_the_last_year_and_none_is_told_without_an_end():
    found = Forecast(140.0, 110.0, 200.0)
    assert date_words(found, 80, 60, 360.0, "2026-05-09").startswith("about May 2027 (November 2026 to April 2028)")
    assert date_words(Forecast(140.0, 110.0, None), 80, 60, 360.0, "2026-05-09") == ""
    assert date_words(found, 80, 0, 0.0, "2026-05-09") == ""


def test_too_few_readings_say_how_many_are_missing():
    assert slope_words(None, 3) == "3 compared; a trend needs 2 more at other counts"


def capacities(*charges) -> list[CapacityTest]:
    return [CapacityTest(at(number * 20), number * 10, mah, 5.0, 21.0) for number, mah in enumerate(charges)]


def test_capacity_is_held_against_the_first_tests_and_under_four_fifths_is_said():
    found = capacity_of(capacities(5000, 4900, 4700, 3900))
    assert found.first_mah == 4950 and found.share == pytest.approx(3900 / 4950) and found.at_limit
    assert not capacity_of(capacities(5000)).at_limit and capacity_of([]).share is None


def test_an_absurd_capacity_is_left_out():
    found = capacity_of(capacities(5000, 4950, 20, 4900, 4880))
    assert len(found.left_out) == 1 and found.share == pytest.approx(4880 / 4975)


def test_a_capacity_that_falls_reaches_its_limit_ahead():
    found = capacity_of(capacities(5000, 4890, 4800, 4705, 4600, 4510, 4400))
    assert found.forecast.says_something and 60 < found.forecast.cycle < 130


@pytest.mark.parametrize(
    ("condition", "words"),
    [
        (Condition(damage="puffed: after the flip"), "swollen"),
        (Condition(damage="wet"), "damaged"),
        (Condition(at_limit=[2], limit_text="2 times its first readings"), "Cell 2 is measured at 2 times"),
        (Condition(ratios=[1.0, 1.0, 1.6]), "Cell 3 reads 1.5 times its mates"),
        (Condition(capacity_share=0.79), "down to 79 %"),
        (Condition(volts=[3.80, 3.69, 3.80]), "0.11 V apart"),
        (Condition(volts=[3.25, 3.26, 3.27]), "rested at 3.25 V"),
    ],
)
def test_each_reason_to_retire_is_said_with_its_source(condition, words):
    reasons = verdict_on(condition).reasons
    assert len(reasons) == 1 and words in reasons[0].text and reasons[0].source


def test_a_sound_pack_has_no_reason():
    sound = verdict_on(Condition("", [], "", [1.0, 1.1], 0.95, [3.80, 3.81]))
    assert sound.reasons == [] and sound.words == ""


def test_no_month_is_named_beyond_ten_years():
    told = date_words(Forecast(140.0, 110.0, 900.0), 80, 60, 360.0, "2026-05-09")
    assert "to ten years or more from now" in told
