"""What packs in series, and packs on one side each, did: the log of such a run has the volts of more than one."""

import json

import pytest

from garage.logs.tables import LogFile, LogPiece
from garage.packs.log.store import add_reading
from garage.runs.form_data import PackUse, PropUse, RunFormData, TemperatureFormData, run_facts
from garage.runs.store import add_run
from tests.seeded import NOW, at, inventory, reading_form


@pytest.fixture
def garage(session):
    return inventory(session)


def read(garage, pack, each_mohm, day="04-01", method="charger DC step", instrument="the grey one"):
    form = reading_form([each_mohm] * 3, at(day), method, instrument)
    add_reading(garage.session, garage.packs[pack], form, NOW)


def logged_run(garage, wirings=("series", "series"), rested=(12.5, 12.4), lowest_v=20.4, after_c=(40.0, 40.0)):
    """A run of J and K on 12 April with a log of the lowest volts `lowest_v`."""
    packs = [garage.packs["J"], garage.packs["K"]]
    uses = tuple(
        PackUse(pack, wiring=wiring, charge_mah=2900, start_temperature_c=20.0, rested_v=volts)
        for pack, wiring, volts in zip(packs, wirings, rested, strict=True)
    )
    warm = tuple(TemperatureFormData("pack", one, 30, pack_id=pack) for pack, one in zip(packs, after_c, strict=True))
    facts = run_facts(speed_kmh=80.0, speed_how="log", duration_s=100)
    outing = garage.outing("04-12", air_c=14.0)
    prop = (PropUse(garage.editions["P1"]),)
    run = add_run(
        garage.session, RunFormData(garage.hulls["Medlar"], outing, facts, at("04-12"), prop, uses, warm), NOW
    )
    log = LogFile(sha256="1", name="a", kind="table", size_bytes=1, course_m=100, created_at=NOW.utc)
    garage.session.add(log)
    garage.session.flush()
    found = json.dumps({"distance_m": 2500.0, "distance_source": "doppler", "lowest_v": lowest_v})
    garage.session.add(LogPiece(log_id=log.id, number=1, run_id=run.id, start_s=0, end_s=100, found=found))
    garage.session.commit()
    return run


def did(client, garage, pack):
    return client.get(f"/packs/{garage.packs[pack]}/did.json").json()["rows"][0]["did"]


def test_each_pack_in_series_gets_its_share_of_the_sag_as_an_estimate_with_a_range(client, garage):
    """By hand: 24.9 - 20.4 = 4.5 V over 2 and 3 mΩ a cell: 1.8 V and 2.7 V."""
    read(garage, "J", 2.0), read(garage, "K", 3.0)
    logged_run(garage)
    one, other = did(client, garage, "J")["sag"], did(client, garage, "K")["sag"]
    assert (one["value"], other["value"]) == (pytest.approx(1.8), pytest.approx(2.7))
    assert one["low"] < 1.8 < one["high"] and one["from"].startswith("estimated: its share")
    page = client.get(f"/packs/{garage.packs['J']}/did").text
    assert "its share of the sag that the log has of the packs in series" in page


def test_the_warmer_of_two_alike_takes_the_smaller_share(client, garage):
    read(garage, "J", 2.0), read(garage, "K", 2.0)
    logged_run(garage, after_c=(40.0, 50.0))
    one, other = did(client, garage, "J")["sag"]["value"], did(client, garage, "K")["sag"]["value"]
    assert one > other and one + other == pytest.approx(4.5)


@pytest.mark.parametrize(
    "second", [{}, {"method": "sag in a run"}, {"instrument": "another charger"}, {"method": "AC 1 kHz"}]
)
def test_without_readings_of_both_by_one_method_and_instrument_it_is_not_parted(client, garage, second):
    read(garage, "J", 2.0)
    if second:
        read(garage, "K", 3.0, **second)
    logged_run(garage)
    found = did(client, garage, "J")
    assert found["sag"]["from"].startswith("estimated at the mean current")
    assert any("J + K" in words and "4.50 V: not to be parted" in words for words in found["missing"])


def test_of_two_ways_of_reading_the_one_that_both_were_read_by_counts(client, garage):
    read(garage, "J", 2.0), read(garage, "K", 3.0)
    read(garage, "J", 9.0, day="04-10", instrument="another charger")
    logged_run(garage)
    assert did(client, garage, "J")["sag"]["value"] == pytest.approx(1.8)


def test_rested_volts_that_were_not_written_are_asked_for(client, garage):
    read(garage, "J", 2.0), read(garage, "K", 3.0)
    logged_run(garage, rested=(12.5, None))
    assert "rested volts of K: the log has J + K as one" in did(client, garage, "J")["missing"]


def test_packs_in_parallel_have_the_volts_of_the_log_each(client, garage):
    logged_run(garage, wirings=("parallel", "parallel"), lowest_v=10.4)
    assert did(client, garage, "J")["sag"]["value"] == pytest.approx(2.1)
    assert did(client, garage, "K")["sag"]["value"] == pytest.approx(2.0)


def test_a_log_of_a_boat_with_a_pack_on_each_side_says_that_the_side_is_not_known(client, garage):
    read(garage, "J", 2.0)
    logged_run(garage, wirings=("left", "right"), lowest_v=10.4)
    found = did(client, garage, "J")
    assert found["sag"]["from"].startswith("estimated at the mean current")
    assert any("of its side" in words for words in found["missing"])


def test_where_the_distance_comes_from_is_said_and_one_run_can_be_asked_for(client, garage):
    run = logged_run(garage, wirings=("parallel", "parallel"), lowest_v=10.4)
    per_km = did(client, garage, "J")["per_km"]
    assert per_km["unit"] == "Wh/km" and "by its speeds over time" in per_km["from"]
    here = f"/packs/{garage.packs['J']}/did"
    assert len(client.get(f"{here}.json?run={run.id}").json()["rows"]) == 1
    assert "Not in that run." in client.get(f"{here}?run=999").text and client.get(f"{here}?run=x").status_code == 200


def test_a_reading_taken_only_after_a_run_is_said_to_be_so(client, garage):
    read(garage, "J", 2.0, day="05-01")
    logged_run(garage, wirings=("left", "right"), lowest_v=None)
    assert "read first after it" in did(client, garage, "J")["sag"]["from"]
