"""Resistance brought to 25 °C: published activation energies, and what must hold at any temperature."""

import json
import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.calc.ageing.temperature import (
    USUAL,
    at_reference,
    own_constant,
    ratio_to_reference,
)
from garage.calc.pack import ACTIVATION_BAND_J_PER_MOL, GAS_CONSTANT_J_PER_MOL_K
from garage.paths import SHARED_DIR

CHECKS = {one["id"]: one for one in json.loads((SHARED_DIR / "reference" / "checks.json").read_text("utf-8"))}
ARRHENIUS = CHECKS["BATT-04"]


@pytest.mark.parametrize(
    ("energy", "ratio"),
    list(
        zip(
            ARRHENIUS["inputs"]["Ea_J_per_mol"].values(),
            ARRHENIUS["expected"]["ratio"]["value"],
            strict=True,
        )
    ),
    ids=[f"BATT-04 ({ARRHENIUS['expected_origin']}): {name}" for name in ARRHENIUS["inputs"]["Ea_J_per_mol"]],
)
def test_ratio_at_10_c_for_published_activation_energies(energy, ratio):
    assert ratio_to_reference(10, energy / GAS_CONSTANT_J_PER_MOL_K) == pytest.approx(ratio, abs=2e-4)


def test_the_usual_constant_is_about_three_percent_a_kelvin_and_within_the_published_effective_energies():
    """BATT-04's note: 20 to 30 kJ/mol for a whole cell."""
    assert 0.027 < 1 - ratio_to_reference(26, USUAL.value_k) < 0.031
    assert 20e3 / GAS_CONSTANT_J_PER_MOL_K < USUAL.value_k < 30e3 / GAS_CONSTANT_J_PER_MOL_K


@given(st.floats(0.05, 150), st.floats(5, 50))
def test_the_range_holds_the_value_and_25_c_changes_nothing_but_the_thermometer(mohm, celsius):
    found = at_reference(mohm, celsius)
    assert found.low < found.value < found.high
    assert at_reference(mohm, 25).value == pytest.approx(mohm)


@given(st.floats(0.05, 150), st.floats(5, 50), st.floats(2000, 3500))
def test_the_range_holds_the_truth_for_every_plausible_constant(mohm, celsius, constant):
    found = at_reference(mohm * ratio_to_reference(celsius, constant), celsius)
    assert found.low * (1 - 1e-9) <= mohm <= found.high * (1 + 1e-9)


def test_a_cold_cell_comes_down_and_a_hot_one_goes_up():
    assert at_reference(3, 10).value < 3 < at_reference(3, 40).value


@pytest.mark.parametrize("mohm", [0.0, -2.0])
def test_no_resistance_is_refused(mohm):
    with pytest.raises(ValueError, match="more than nothing"):
        at_reference(mohm, 20)


def test_absolute_zero_is_refused():
    with pytest.raises(ValueError, match="absolute zero"):
        ratio_to_reference(-273.15, 2600)


def readings(count, span_k, constant, seed=5):
    draws = random.Random(seed)
    cycles = list(range(0, 5 * count, 5))
    celsius = [25 + draws.uniform(-span_k / 2, span_k / 2) for _ in cycles]
    celsius[0], celsius[-1] = 25 - span_k / 2, 25 + span_k / 2
    read = [
        2 * math.exp(0.002 * cycle + draws.gauss(0, 0.02)) * ratio_to_reference(one, constant)
        for cycle, one in zip(cycles, celsius, strict=True)
    ]
    return cycles, celsius, read


def test_an_own_constant_is_found_with_trend_and_temperature_apart():
    found = own_constant(*readings(30, 14, 3200))
    assert found.own and found.low_k < 3200 < found.high_k and found.value_k == pytest.approx(3200, rel=0.1)


@pytest.mark.parametrize(("count", "span"), [(7, 14), (30, 9)])
def test_few_readings_or_a_narrow_span_leave_the_usual_constant(count, span):
    assert own_constant(*readings(count, span, 3200)) == USUAL


def test_an_implausible_own_constant_is_not_believed():
    assert own_constant(*readings(30, 14, 9000)) == USUAL


def test_the_plausible_band_is_that_of_the_published_activation_energies():
    band = (USUAL.low_k * GAS_CONSTANT_J_PER_MOL_K, USUAL.high_k * GAS_CONSTANT_J_PER_MOL_K)
    assert band == pytest.approx(ACTIVATION_BAND_J_PER_MOL)
