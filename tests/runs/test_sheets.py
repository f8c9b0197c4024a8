"""What the form and the page of a run are made of, without a page."""

from dataclasses import MISSING, fields
from types import SimpleNamespace as Made

import pytest

from garage.moments import Moment
from garage.runs.entry.gather import run_form
from garage.runs.entry.pick_store import Option
from garage.runs.entry.sheets import (
    RunFormSheet,
    averaging_way,
    carried,
    carried_values,
    kept_props,
    outing_brief,
    reading_text,
)
from garage.runs.sheets import measures_of, ratings_of, temperature_row, words_of
from garage.runs.tables import Run, RunTemperature
from garage.units import DisplayUnits
from garage.waters.outing_store import close_outing
from tests.seeded import NOW, with_history

STANDINGS = {
    "J": "in service", "K": "1 of 5 charges", "L": "in service · lent", "M": "in service", "N": "fresh", "O": "fresh",
}  # fmt: skip
PACKS = [Option(str(n), f"{code} · 3S 4000 · {words}") for n, (code, words) in enumerate(STANDINGS.items(), 1)]


def test_four_packs_are_a_tap_away_and_the_rest_in_the_longer_list():
    asked = [one.name for one in fields(RunFormSheet) if one.default is one.default_factory is MISSING]
    made = RunFormSheet(**(dict.fromkeys(asked) | {"pack_options": PACKS}))
    quick = [("1", "J", ""), ("2", "K", "1 of 5 charges"), ("3", "L", "lent"), ("4", "M", "")]
    assert made.quick_packs("") == made.quick_packs("2") == quick
    assert [option.value for option in made.further_packs] == ["5", "6"]
    assert made.quick_packs("6") == [*quick, ("6", "O", "fresh")]
    assert ("flip", "flip") in made.incident_kinds
    assert [name for _, name in made.quick_spots] == ["Motor", "Controller", "Pack"]


def _last(**facts) -> Run:
    told = {"kind": "speed", "speed_how": "log", "averaging_s": 2.0, "ways": "both ways", "course_m": 100.0}
    return Run(number=7, hull_id=1, state_id=1, outing_id=1, started_at=NOW.utc, offset_min=0, **(told | facts))


def test_the_next_run_begins_as_the_last_but_on_a_new_day_how_speed_is_read_is_asked_anew():
    values = carried_values(_last(), {"left": 4}, False, DisplayUnits())
    assert values["prop_left"] == "4" and values["speed_how"] == "log" and values["ways"] == "both ways"
    assert [values[f"t{number}_spot"] for number in (1, 2, 3, 4)] == [
        "motor end bell", "speed controller", "pack", "wires and plugs",
    ]  # fmt: skip
    anew = carried_values(_last(), {}, True, DisplayUnits())
    assert anew["speed_how"] == "" and "prop_left" not in anew
    assert carried_values(None, {}, True, DisplayUnits())["speed_how"] == ""
    assert carried(_last(kind="maiden"))["kind"] == "speed" and carried(_last(kind="lap"))["kind"] == "lap"
    assert reading_text(None, DisplayUnits()) == reading_text(_last(speed_how=""), DisplayUnits()) == ""
    assert "log" in reading_text(_last(), DisplayUnits())


@pytest.mark.parametrize(("averaging_s", "is_blank"), [(None, True), (0.0, False), (2.0, False)])
def test_a_single_reading_and_a_window_are_two_ways_of_averaging(averaging_s, is_blank):
    assert (averaging_way(averaging_s) == "") == is_blank
    assert averaging_way(0.0) != averaging_way(2.0)


def test_props_that_carry_over_say_where_they_are_and_whether_they_were_reworked():
    texts = {4: Made(text="P1 ed. 2"), 5: Made(text="P2 ed. 1")}
    kept = kept_props(("left", "right", "third"), {"left": 4, "right": 5}, {"left": 3, "right": 5}, texts)
    assert [(one.name, one.label, one.text, one.flag) for one in kept] == [
        ("left", "Prop, left", "P1 ed. 2", "new edition since then"), ("right", "Prop, right", "P2 ed. 1", ""),
        ("third", "Prop, third", "not chosen yet", ""),
    ]  # fmt: skip
    assert kept_props(("single",), {}, {}, texts)[0].label == "Prop"


def test_an_outing_is_told_by_its_day_and_water():
    day = Made(id=3, started_at="2026-05-09T08:00:00Z", offset_min=0)
    water = Made(name="Mere", electric_allowed="ask first", speed_limit_kmh=None, hours="9 to 12")
    today, later = (outing_brief(day, water, at, DisplayUnits()) for at in ("2026-05-09", "2026-05-10"))
    assert (today.id, today.water, today.is_today, later.is_today) == (3, "Mere", True, False)
    assert today.rules == ["ask first before running electric boats", "hours: 9 to 12"]


def test_figures_and_words_of_a_run_stand_apart_and_ratings_have_both_ends():
    run = _last(duration_s=90.0, note="wet", ride_rating=4, averaging_s=0.0)
    labels = [label for label, _ in measures_of(run)]
    assert [label for label, _ in words_of(run)] == ["Kind of run"] and labels and "Kind of run" not in labels
    assert all(measure.value is not None for _, measure in measures_of(run))
    assert [(step, low, high) for _, step, low, high in ratings_of(run)] == [(4, "wet", "dry")]


@pytest.mark.parametrize(("air_c", "rise"), [(12.5, 47.5), (None, None)])
def test_a_reading_has_its_rise_over_the_air(air_c, rise):
    read = {"spot": "pack", "place": "single", "temperature_c": 60.0, "seconds_after": 30.0, "note": "n"}
    row = RunTemperature(run_id=1, position=0, **read)
    told = temperature_row(row, air_c, "J", "over")
    assert (told.spot, told.place, told.pack, told.note) == ("pack", "", "J", "n")
    assert (told.reading.value, told.reading.caution, told.rise.value) == (60.0, "over", rise)
    row.place = "left"
    assert temperature_row(row, air_c, "", "").place == "left"


def test_a_run_without_an_outing_is_likely_at_the_water_of_the_latest_one(session):
    bare = run_form(session, "", "", NOW, DisplayUnits())
    assert bare.values == {"water": ""} and bare.number == 1 and bare.outing is None
    garage = with_history(session)
    for outing in garage.outings:
        assert run_form(session, "", str(outing), NOW, DisplayUnits()).outing.id == outing
    assert run_form(session, "", "999", NOW, DisplayUnits()).outing is None
    for outing in garage.outings:
        close_outing(session, outing, NOW.utc)
    later = Moment("2026-07-01T10:00:00Z", 0)
    assert run_form(session, str(garage.hulls["Medlar"]), "", later, DisplayUnits()).values["water"] == str(
        garage.water
    )
