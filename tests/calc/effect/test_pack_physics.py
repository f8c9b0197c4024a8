"""What resistance says of speed, held against the circuit it was derived from."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.calc.effect.answer import answer
from garage.calc.effect.pack_physics import gained_by_settling, speed_by_resistance, with_readings
from garage.calc.effect.priors import DEFAULT_PRIORS, Prior, wide
from tests.calc.effect.cases import EIGHT, QUESTION, TABS


def _speed(open_v: float, ohm: float, amps_per_speed: float) -> float:
    """Steady speed where volts left, open_v - (amps_per_speed v) R, are proportional to it."""
    return open_v / (1 + amps_per_speed * ohm)


@given(open_v=st.floats(7, 60), mohm=st.floats(2, 60), load=st.floats(0.5, 8))
def test_the_slope_is_that_of_a_source_with_a_resistance_whose_load_grows_with_the_speed(open_v, mohm, load):
    speed = _speed(open_v, mohm / 1000, load)
    step = 1e-4
    numeric = (
        math.log(_speed(open_v, mohm / 1000 * math.exp(step), load))
        - math.log(_speed(open_v, mohm / 1000 * math.exp(-step), load))
    ) / (2 * step)
    assert speed_by_resistance(load * speed, mohm, speed) == pytest.approx(numeric, rel=1e-5)


@pytest.mark.parametrize("figures", [(0, 10, 11), (50, 0, 11), (50, 10, 0), (-1, 10, 11)])
def test_nothing_is_computed_from_nothing(figures):
    with pytest.raises(ValueError):
        speed_by_resistance(*figures)


def test_a_pack_that_fell_further_gained_more_and_half_of_it_is_left_open():
    little, much = (gained_by_settling(-0.1, fell) for fell in (0.02, 0.5))
    assert 0 < little.mean < much.mean
    assert much.sd == pytest.approx(much.mean / 2) and little.sd > little.mean


def test_one_pack_breaking_in_gets_the_common_column_and_two_their_own():
    settled = {"A": Prior(0.05, 0.02), "B": Prior(0.01, 0.005)}
    assert dict(with_readings(DEFAULT_PRIORS, settled, ["A"], {}).own) == {"break-in": Prior(0.05, 0.02)}
    both = dict(with_readings(DEFAULT_PRIORS, settled, ["A", "B"], {}).own)
    assert both["break-in:A"].mean + DEFAULT_PRIORS.break_in.mean == pytest.approx(0.05)
    assert set(both) == {"break-in:A", "break-in:B"}
    assert not with_readings(DEFAULT_PRIORS, {}, ["A"], {}).own


def test_a_pack_of_more_resistance_is_expected_slower_and_none_is_surer_than_usual():
    own = dict(with_readings(DEFAULT_PRIORS, {}, [], {"A": (-0.1, 8.0), "B": (-0.1, 12.0)}).own)
    assert own["pack:A"].mean == pytest.approx(-own["pack:B"].mean) and own["pack:A"].mean > 0
    assert all(prior.sd >= DEFAULT_PRIORS.pack.sd for prior in own.values())
    assert not with_readings(DEFAULT_PRIORS, {}, [], {"A": (-0.1, 8.0)}).own


def test_readings_of_a_pack_that_settled_far_leave_less_to_the_change():
    plain = answer(EIGHT, [TABS], QUESTION)
    far = answer(EIGHT, [TABS], QUESTION, DEFAULT_PRIORS.with_own({"break-in": Prior(0.08, 0.005)}))
    same = answer(EIGHT, [TABS], QUESTION, DEFAULT_PRIORS.with_own({"break-in": DEFAULT_PRIORS.break_in}))
    assert far.effect.ln < plain.effect.ln
    assert same.effect.ln == pytest.approx(plain.effect.ln, abs=1e-12)


def test_the_wide_verdict_doubts_readings_too():
    own = dict(wide(DEFAULT_PRIORS.with_own({"break-in": Prior(0.05, 0.02)})).own)
    assert own == {"break-in": Prior(0.05, 0.04)}
