"""What a pack did in one run, each figure worked out by hand, and every condition on which it is told."""

import math
from dataclasses import replace

import pytest

from garage.packs.run_use import RunOnPack, pack_did
from garage.packs.series_sag import Share

# 3600 mAh in 120 s are 108 A; 4 cells of 4.5 Ah; 8 mΩ at 25 °C; begun and ended about 25 °C apart evenly.
RUN = RunOnPack(
    charge_mah=3600.0, duration_s=120.0, distance_m=1500.0, logged_s=120.0, start_c=20.0, air_c=12.0, after_c=30.0,
    rested_v=16.7, loaded_v=14.2, cells_s=4, capacity_mah=4500.0, mass_g=400.0, resistance_25_mohm=8.0,
    resistance_how="as last read", after_v=15.4,
)  # fmt: skip


def test_current_is_charge_by_time_and_c_that_by_capacity():
    did = pack_did(RUN)
    assert did.current.value == pytest.approx(108) and did.c_rate == pytest.approx(24)
    for unknown in (replace(RUN, charge_mah=None), replace(RUN, duration_s=None), replace(RUN, charge_mah=0.0)):
        assert pack_did(unknown).current.value is None and pack_did(unknown).c_rate is None


def test_energy_is_the_logs_where_it_saw_nearly_all_of_the_run_at_the_pack():
    # 3.6 Ah × 4 cells × 3.7 V, of which a charger puts back up to 3 % more than was drawn.
    estimated = pack_did(RUN).energy
    ends = (estimated.value, estimated.low, estimated.high)
    assert ends == pytest.approx((14.4 * 3.7 * 0.985, 14.4 * 3.4 * 0.97, 14.4 * 3.9))
    logged = replace(RUN, logged_wh=50.0)
    assert pack_did(logged).energy.value == 50.0 and pack_did(logged).energy.origin.startswith("measured")
    assert pack_did(replace(logged, logged_s=108.0)).energy.value == 50.0
    assert pack_did(replace(logged, loaded_v=8.0)).energy.value == 50.0
    for doubtful in ({"logged_s": 107.9}, {"loaded_v": 7.99}, {"loaded_v": None}, {"logged_wh": 0.0}):
        assert pack_did(replace(logged, **doubtful)).energy.origin.startswith("estimated"), doubtful
    assert pack_did(replace(RUN, charge_mah=None)).energy.value is None


def test_energy_by_distance_is_told_where_the_log_saw_most_of_the_way():
    did = pack_did(replace(RUN, logged_wh=50.0))
    assert did.per_km.value == pytest.approx(50 / 1.5) and (did.per_km.low, did.per_km.caution) == (None, "")
    ranged = pack_did(RUN).per_km
    assert (ranged.low, ranged.high) == pytest.approx((14.4 * 3.4 * 0.97 / 1.5, 14.4 * 3.9 / 1.5))
    assert pack_did(replace(RUN, logged_s=108.0)).per_km.caution == ""
    assert pack_did(replace(RUN, logged_s=107.0)).per_km.caution == "too high: the log saw 107 of 120 s"
    assert pack_did(replace(RUN, logged_s=60.0)).per_km.value is not None
    assert pack_did(replace(RUN, logged_s=59.0)).per_km.value is None
    assert "most of the way (the log saw 59 of 120 s)" in pack_did(replace(RUN, logged_s=59.0)).missing
    # Where nobody knows how much it saw, it is believed; and it cannot have seen more than all.
    for believed in ({"logged_s": None}, {"duration_s": None}, {"logged_s": 500.0}):
        assert pack_did(replace(RUN, **believed)).per_km.caution == ""
    assert pack_did(replace(RUN, distance_m=None)).per_km.value is None


def _told(measure) -> tuple[float, float, float]:
    return measure.value, measure.low, measure.high


def test_sag_is_measured_by_volts_that_can_be_this_packs():
    # At its lowest it would have rested between 16.7 V before and 15.4 V after.
    sag = pack_did(RUN).sag
    assert _told(sag) == pytest.approx((2.5, 1.2, 2.5)) and "at least" in sag.origin
    for after in (None, 14.2, 16.8):
        bare = pack_did(replace(RUN, after_v=after)).sag
        assert (bare.value, bare.low, bare.high) == (
            pytest.approx(2.5),
            None,
            None,
        ) and "charge is in it" in bare.origin
    assert pack_did(replace(RUN, after_v=16.7)).sag.low == pytest.approx(2.5)
    assert pack_did(replace(RUN, loaded_v=8.0)).sag.value == pytest.approx(8.7)
    for doubted in ({"loaded_v": 7.9}, {"loaded_v": 16.7}):
        did = pack_did(replace(RUN, **doubted))
        assert "estimated" in did.sag.origin
        lowest = f"{doubted['loaded_v']:.2f}"
        assert f"volts of the log that go with it (lowest {lowest} V, rested 16.70 V)" in did.missing
    for unread in ({"loaded_v": None}, {"rested_v": None}):
        did = pack_did(replace(RUN, **unread))
        assert "estimated" in did.sag.origin and did.missing == []


def test_sag_is_else_estimated_at_the_mean_current_or_by_its_share():
    unlogged = replace(RUN, loaded_v=None)
    # Begun at 20 and ended at 30 °C, it was at 25 °C on the mean: 108 A × 8 mΩ.
    assert _told(pack_did(unlogged).sag) == pytest.approx((0.864, 0.648, 1.1664))
    shared = replace(unlogged, share=Share(1.3, 1.1, 1.5, 2.6))
    assert _told(pack_did(shared).sag) == (1.3, 1.1, 1.5)
    told = pack_did(replace(unlogged, share=Share(None, None, None, 2.6, "why not")))
    assert told.sag.value == pytest.approx(0.864) and told.missing == ["why not"]
    assert pack_did(replace(unlogged, not_its_own="another's volts")).missing == ["another's volts"]
    for unknown in ({"charge_mah": None}, {"resistance_25_mohm": None}):
        assert pack_did(replace(unlogged, **unknown)).sag.value is None


def test_a_cold_pack_has_more_resistance_and_the_air_stands_for_a_start_that_nobody_read():
    # R = R25 exp(2600 K (1/T - 1/298.15 K)), T the middle of start and end.
    cold = replace(RUN, loaded_v=None, start_c=None, air_c=0.0, after_c=20.0)
    factor = math.exp(2600 * (1 / 283.15 - 1 / 298.15))
    assert pack_did(cold).sag.value == pytest.approx(0.864 * factor)
    assert pack_did(replace(cold, start_c=20.0, after_c=None)).sag.value == pytest.approx(
        0.864 * math.exp(2600 * (1 / 293.15 - 1 / 298.15))
    )
    assert pack_did(replace(cold, air_c=None, after_c=None)).sag.value is None


def test_heat_is_that_of_the_mean_current_or_of_the_rise():
    did = pack_did(RUN)
    heat = 108**2 * 0.008 * 120 / 3600
    assert _told(did.heat_by_current) == pytest.approx((heat, 0.8 * heat, 2 * heat))
    # 0.4 kg × 10 K × 1000, 800 and 1100 J/(kg K).
    assert _told(did.heat_by_rise) == pytest.approx((4000 / 3600, 3200 / 3600, 4400 / 3600))
    assert "since the start" in did.heat_by_rise.origin
    by_air = pack_did(replace(RUN, start_c=None)).heat_by_rise
    assert by_air.value == pytest.approx(7200 / 3600) and "over the air" in by_air.origin
    for unknown in ({"mass_g": None}, {"after_c": None}, {"start_c": None, "air_c": None}, {"after_c": 20.0}):
        assert pack_did(replace(RUN, **unknown)).heat_by_rise.value is None
    for unknown in ({"charge_mah": None}, {"resistance_25_mohm": None}, {"duration_s": None}):
        assert pack_did(replace(RUN, **unknown)).heat_by_current.value is None


@pytest.mark.parametrize(("after", "left", "caution"), [(30.0, 30, ""), (60.0, 0, ""), (61.0, -1, "over the limit")])
def test_how_much_is_left_to_the_limit_of_60_degrees(after, left, caution):
    told = pack_did(replace(RUN, after_c=after)).left
    assert (told.value, told.caution) == (pytest.approx(left), caution) and "60 °C" in told.origin
    assert pack_did(replace(RUN, after_c=None)).left.value is None


def test_the_same_run_on_a_hot_day_ends_at_most_as_many_kelvin_higher():
    did = pack_did(RUN)
    # Begun at 35 °C; a warm pack has less resistance: the rise of 10 K by exp(2600 (1/313.15 - 1/298.15)).
    least = 35 + 10 * math.exp(2600 * (1 / 313.15 - 1 / 298.15))
    assert _told(did.hot_day) == pytest.approx(((45 + least) / 2, least, 45)) and did.hot_day.caution == ""
    assert pack_did(replace(RUN, after_c=45.0)).hot_day.caution == ""
    assert pack_did(replace(RUN, after_c=45.1)).hot_day.caution == "over 60 °C"
    for none in ({"start_c": 35.0, "after_c": 40.0}, {"after_c": None}, {"start_c": None, "air_c": None}):
        assert pack_did(replace(RUN, **none)).hot_day.value is None
    assert pack_did(replace(RUN, start_c=34.9, after_c=40.0)).hot_day.value is not None


def test_what_is_missing_is_said_once_each():
    assert pack_did(RUN).missing == []
    wanted = {
        "charge_mah": "charge put back", "duration_s": "how long it ran", "after_c": "temperature after",
        "mass_g": "mass of the pack", "resistance_25_mohm": "a resistance reading by DC",
    }  # fmt: skip
    for column, words in wanted.items():
        assert pack_did(replace(RUN, **{column: None})).missing == [words]
    assert pack_did(replace(RUN, start_c=None)).missing == []
    assert pack_did(replace(RUN, start_c=None, air_c=None)).missing == ["temperature before"]
    assert pack_did(replace(RUN, charge_mah=0.0)).missing == ["charge put back"]
