"""The simulator: stated effects can be got back, streams are their own, physics has the right signs."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.demo.simulate import (
    Circumstances,
    break_in,
    cell_mohm,
    charge_mah,
    day_effect,
    expected_ln_speed,
    read_speed_kmh,
    rested_v_per_cell,
    rise_k,
    stream,
)
from garage.demo.truth import read_truth

TRUTH = read_truth()


def _some_runs(hull: str, count: int) -> list[Circumstances]:
    """Runs with everything varied at random, one pack each."""
    draws = stream(TRUTH, "test", hull)
    stated = TRUTH.hulls[hull]
    return [
        Circumstances(
            hull=hull,
            props=draws.choice(list(stated.props)),
            packs=((draws.choice("ABCDJK"), draws.randint(1, 12)),),
            modifications=frozenset(title for title in stated.modifications if draws.random() < 0.5),
            settings={key: setting.best + draws.uniform(-2, 2) for key, setting in stated.settings.items()},
            air_c=draws.uniform(2, 28),
            wind_ms=draws.uniform(0, 6),
            pack_c=draws.uniform(10, 40),
        )
        for _ in range(count)
    ]


def _columns(run: Circumstances) -> dict[str, float]:
    stated = TRUTH.hulls[run.hull]
    columns = {
        "constant": 1.0,
        "air": run.air_c / 10,
        "wind": run.wind_ms / 5,
        "pack temperature": run.pack_c / 10,
    }
    columns |= {title: float(title in run.modifications) for title in stated.modifications}
    columns |= {f"prop {name}": float(name == run.props) for name in list(stated.props)[1:]}
    columns |= {
        f"setting {key}": ((run.settings[key] - setting.best) / setting.step) ** 2
        for key, setting in stated.settings.items()
    }
    code, discharge = run.packs[0]
    columns |= {f"pack {other}": float(other == code) for other in "BCDJK"}
    columns |= {
        f"break-in {other}": break_in(discharge, TRUTH.packs[other].settle) * (other == code) for other in "DJK"
    }
    return columns


@pytest.mark.parametrize("hull", TRUTH.hulls)
def test_least_squares_on_runs_without_scatter_gives_the_stated_effects_back(hull: str):
    runs = _some_runs(hull, 400)
    rows = [_columns(run) for run in runs]
    x = np.array([list(row.values()) for row in rows])
    y = np.array([expected_ln_speed(TRUTH, run) for run in runs])
    found = dict(zip(rows[0], np.linalg.lstsq(x, y, rcond=None)[0], strict=True))
    stated = TRUTH.hulls[hull]
    props = list(stated.props)
    expected = dict(stated.modifications)
    expected |= {f"prop {name}": stated.props[name] - stated.props[props[0]] for name in props[1:]}
    expected |= {f"setting {key}": setting.per_step_squared for key, setting in stated.settings.items()}
    expected |= {f"pack {code}": TRUTH.packs[code].effect - TRUTH.packs["A"].effect for code in "BCDJK"}
    expected |= {f"break-in {code}": -TRUTH.packs[code].break_in for code in "DJK"}
    expected |= {"air": TRUTH.common.air_per_10k, "wind": TRUTH.common.wind_per_5ms}
    assert {name: found[name] for name in expected} == pytest.approx(expected, abs=1e-9)


def test_scatter_of_many_readings_is_as_stated():
    run = _some_runs("Brindle", 1)[0]
    draws = stream(TRUTH, "test", "scatter")
    read = [math.log(read_speed_kmh(TRUTH, run, "2025-05-03", "log", 1, draws)) for _ in range(20_000)]
    centre = expected_ln_speed(TRUTH, run) + day_effect(TRUTH, "2025-05-03")
    assert np.mean(read) == pytest.approx(centre, abs=0.0006)
    assert np.std(read) == pytest.approx(math.hypot(TRUTH.common.run_sd, TRUTH.common.pass_sd), rel=0.02)


def test_best_of_three_passes_reads_high_by_the_expected_maximum_of_three_normals():
    # 0.8463 is the expected maximum of three standard normals: standard table of order statistics.
    run = _some_runs("Brindle", 1)[0]
    draws = stream(TRUTH, "test", "passes")
    read = [math.log(read_speed_kmh(TRUTH, run, "2025-05-03", "log", 3, draws)) for _ in range(20_000)]
    centre = expected_ln_speed(TRUTH, run) + day_effect(TRUTH, "2025-05-03")
    assert np.mean(read) - centre == pytest.approx(0.8463 * TRUTH.common.pass_sd, abs=0.0006)


def test_a_display_reads_higher_than_a_log_and_scatters_more():
    run = _some_runs("Brindle", 1)[0]

    def many(how: str) -> list[float]:
        draws = stream(TRUTH, "test", how)
        return [math.log(read_speed_kmh(TRUTH, run, "2025-05-03", how, 1, draws)) for _ in range(20_000)]

    display, log = many("display"), many("log")
    assert np.mean(display) - np.mean(log) == pytest.approx(TRUTH.ways["display"].level, abs=0.001)
    assert np.std(display) > 1.15 * np.std(log)


def test_days_scatter_as_stated_and_a_day_is_the_same_whenever_asked():
    effects = [day_effect(TRUTH, f"day {number}") for number in range(5000)]
    assert np.std(effects) == pytest.approx(TRUTH.common.day_sd, rel=0.04)
    assert day_effect(TRUTH, "day 7") == effects[7]


def test_a_stream_depends_on_its_name_alone():
    assert stream(TRUTH, "run", 3).random() == stream(TRUTH, "run", 3).random()
    assert stream(TRUTH, "run", 3).random() != stream(TRUTH, "run", 4).random()


def test_resistance_at_other_temperatures_follows_arrhenius():
    # 2000 to 3500 K are plausible (open ageing data of cells, rough): at 10 °C that is 1.43 to 1.86 times the
    # resistance at 25 °C (own arithmetic).
    settled = cell_mohm(TRUTH, "A", 0, 25.0)
    assert settled == pytest.approx(TRUTH.packs["A"].cell_mohm)
    assert 1.43 < cell_mohm(TRUTH, "A", 0, 10.0) / settled < 1.86
    assert cell_mohm(TRUTH, "A", 40, 25.0) > settled


def test_a_new_pack_loses_resistance_over_its_first_discharges():
    readings = [cell_mohm(TRUTH, "J", discharges, 25.0) for discharges in range(6)]
    assert readings == sorted(readings, reverse=True)


def test_charge_is_current_times_time():
    # 74 A for a minute is 1233 mAh: 74 × 60 / 3.6, own arithmetic.
    assert charge_mah(74.0, 60.0, 60.0) == pytest.approx(1233.3, abs=0.1)


@given(st.floats(20, 150), st.floats(5, 200), st.floats(1, 3))
def test_heat_and_charge_grow_with_current_and_time(current_a: float, full_s: float, times: float):
    for spot in ("motor end bell", "speed controller", "pack", "wires and plugs"):
        assert rise_k(TRUTH, spot, current_a * times, full_s) >= rise_k(TRUTH, spot, current_a, full_s) > 0
    assert charge_mah(current_a, full_s, full_s * times) >= charge_mah(current_a, full_s, full_s)


@given(st.floats(0, 1), st.floats(0, 1))
def test_the_more_is_drawn_the_lower_a_cell_rests(one: float, other: float):
    low, high = sorted((one, other))
    assert 3.2 < rested_v_per_cell(high) <= rested_v_per_cell(low) <= 4.2
