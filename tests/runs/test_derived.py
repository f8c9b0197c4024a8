"""What follows from a run by physics, held against the definitions and against sums done by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.runs.derived import PackLook, RunLook, pack_lines, slip_caution, slip_lines

PACK = PackLook("J", 3, 4000.0, 300.0, 12.5, 4000.0, 2.0)
RUN = RunLook(60.0, 90.0, 44.0, 66.0, 2000.0, "measured", 12.0)


def _values(lines) -> dict[str, float]:
    return {name: found.value for name, found in lines}


@pytest.mark.parametrize(("seconds", "rate"), [(3600, 1), (1800, 2), (360, 10), (180, 20)])
def test_a_pack_emptied_in_an_hour_runs_at_one_c_and_sooner_at_as_many_times_more(seconds, rate):
    # 1 C empties the pack in one hour (IEC 61434).
    assert _values(pack_lines(seconds, PACK))["C-rate of the mean, J"] == pytest.approx(rate)


@given(st.floats(100, 20_000), st.floats(0.05, 1.0), st.floats(20, 3600))
def test_c_rate_is_the_share_of_the_pack_that_an_hour_of_it_would_take(capacity, share, seconds):
    look = PackLook("J", 3, capacity, None, None, share * capacity, None)
    assert _values(pack_lines(seconds, look)) == {"C-rate of the mean, J": pytest.approx(share * 3600 / seconds)}


def test_heat_and_rise_are_those_of_the_mean_current_worked_out_by_hand():
    # 4 Ah in 180 s is 80 A; 3 cells of 2 mΩ are 6 mΩ: 80² × 0.006 = 38.4 W, 6912 J, in 0.3 kg at 1000 J/(kg K) 23.04 K.
    values = _values(pack_lines(180, PACK))
    assert values["Heat in J"] == pytest.approx(38.4)
    assert values["J, warmer by it by"] == pytest.approx(23.04)


@pytest.mark.parametrize(("mass_g", "is_warned"), [(300.0, False), (197.0, True), (198.0, False)])
def test_a_rise_of_more_than_35_k_is_warned_of(mass_g, is_warned):
    # 6912 J in 0.1975 kg are 35 K.
    look = PackLook("J", 3, 4000.0, mass_g, 12.5, 4000.0, 2.0)
    assert bool(dict(pack_lines(180, look))["J, warmer by it by"].caution) == is_warned


def test_nothing_is_worked_out_of_what_is_not_written():
    assert pack_lines(None, PACK) == []
    assert pack_lines(180, PackLook("J", 3, 4000.0, 300.0, 12.5, None, 2.0)) == []
    assert slip_lines(RunLook(60.0, 90.0, 44.0, 66.0, None, "", 12.0)) == []


def test_slip_is_one_less_speed_by_pitch_speed_and_its_range_lies_about_it():
    (_, pitch_speed), (_, slip) = slip_lines(RUN)
    assert slip.value == pytest.approx(100 * (1 - 60 / pitch_speed.value))
    assert pitch_speed.low < pitch_speed.value < pitch_speed.high
    assert slip.low < slip.value < slip.high


@pytest.mark.parametrize(
    ("share", "words"), [(-0.01, "faster than its pitch"), (0.0, ""), (0.2, ""), (0.5, ""), (0.51, "more than half")]
)
def test_slip_that_is_not_likely_is_questioned(share, words):
    caution = slip_caution(share)
    assert caution.startswith(words) if words else caution == ""
