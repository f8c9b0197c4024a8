"""Pure rules of runs: what is missing, how they are flagged, wired, timed, and put into words."""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.corrections.tables import Correction
from garage.moments import Moment
from garage.reference import temperature_limits
from garage.runs.counting import SpeedStanding
from garage.runs.entry.convert_units import in_units
from garage.runs.entry.sheets import kept_state
from garage.runs.entry.start_time import guessed_start, later
from garage.runs.entry.written import mended_words
from garage.runs.form_data import PackUse, run_facts
from garage.runs.lines.flags import DENIED, PackLook, RunLook, flags_of, keeps_from_records
from garage.runs.lines.missing import missing
from garage.runs.lines.speed_words import known_words, ride_words
from garage.runs.sheets import average_current, share_of, spread_of
from garage.runs.since_store import runs_since
from garage.runs.tables import Run
from garage.runs.wiring import cells_in_series
from garage.units import DisplayUnits

FULL = run_facts(speed_kmh=80.0, speed_how="log", ways="both ways", passes=2, duration_s=90.0, ride_rating=3)
PACK = PackUse(1, "single", 24.0, 12.5, 2100.0, 11.1)
GOOD = RunLook(80.0, "log", 2.0, "both ways", 3, [PackLook("J", "in service", "in service", 25.0)])


@pytest.mark.parametrize(("limit_kmh", "flagged"), [(None, False), (80.0, False), (79.9, True), (30.0, True)])
def test_a_speed_over_the_limit_of_the_water_is_flagged(limit_kmh, flagged):
    found = [flag.text for flag in flags_of(replace(GOOD, speed_limit_kmh=limit_kmh))]
    assert ("over the water's limit" in found) == flagged


def test_a_run_without_a_speed_breaks_no_limit():
    assert not any("limit" in flag.text for flag in flags_of(replace(GOOD, speed_kmh=None, speed_limit_kmh=30.0)))


def test_a_run_with_everything_lacks_nothing():
    assert missing(FULL, [PACK], 1, 1) == []


@pytest.mark.parametrize(
    ("facts", "packs", "read", "words"),
    [
        (FULL | {"speed_kmh": None}, [PACK], 1, "the speed"),
        (FULL | {"speed_how": ""}, [PACK], 1, "how the speed was read"),
        (FULL | {"duration_s": None}, [PACK], 1, "how long it lasted"),
        (FULL | {"ride_rating": None}, [PACK], 1, "how she rode"),
        (FULL | {"ways": ""}, [PACK], 1, "one way or both"),
        (FULL | {"passes": None}, [PACK], 1, "of how many passes"),
        (FULL, [replace(PACK, charge_mah=None)], 1, "charge put back"),
        (FULL, [replace(PACK, end_v=None)], 1, "voltages after"),
        (FULL, [PACK, replace(PACK, pack_id=2, rested_v=None)], 1, "rested voltage at the start"),
        (FULL, [replace(PACK, start_temperature_c=None)], 1, "pack temperature at the start"),
        (FULL, [], 1, "the pack"),
        (FULL, [PACK], 0, "temperatures after"),
    ],
)
def test_each_blank_is_asked_for_by_its_own_words(facts, packs, read, words):
    assert missing(facts, packs, read, 1) == [words]


def test_a_prop_not_known_is_asked_for():
    assert missing(FULL, [PACK], 1, 0) == ["the prop"]


def test_a_speed_judged_by_eye_is_not_asked_for_ways_and_passes():
    assert missing(FULL | {"speed_how": "by eye", "ways": "", "passes": None}, [PACK], 1, 1) == []


def test_a_lap_run_is_not_asked_for_a_speed():
    assert missing(FULL | {"kind": "lap", "speed_kmh": None, "speed_how": ""}, [PACK], 1, 1) == []


def test_of_the_ratings_any_one_will_do_and_none_is_said_once():
    ratings = ("ride_rating", "straight_rating", "corner_rating", "acceleration_rating")
    unrated = FULL | dict.fromkeys(ratings)
    assert missing(unrated, [PACK], 1, 1) == ["how she rode"]
    assert all(missing(unrated | {one: 1}, [PACK], 1, 1) == [] for one in ratings)


def test_facts_of_a_run_that_no_list_has_are_refused():
    with pytest.raises(TypeError, match="colour"):
        run_facts(speed_kmh=80.0, colour="red")


def test_a_good_run_has_no_flags():
    assert flags_of(GOOD) == []


@pytest.mark.parametrize(
    ("look", "text"),
    [
        (replace(GOOD, packs=[PackLook("L", "fresh", "fresh")]), "L fresh"),
        (
            replace(GOOD, packs=[PackLook("K", "breaking in", "breaking in (2 of 4)")]),
            "K breaking in (2 of 4)",
        ),
        (replace(GOOD, packs=[PackLook("C", "retired", "retired")]), "C retired"),
        (replace(GOOD, packs=[PackLook("J", "in service", "in service", 6.0)]), "J cold at the start"),
        (replace(GOOD, hottest=(("pack", 63.0),)), "hot pack"),
        (replace(GOOD, hottest=(("motor end bell", 61.0),)), "hot motor end bell"),
        (replace(GOOD, hottest=(("speed controller", 95.0),)), "hot speed controller"),
        (replace(GOOD, state_before=3, state_now=4), "new state"),
        (replace(GOOD, averaging_s=0.0), "peak"),
        (replace(GOOD, speed_how="display", averaging_s=None), "not known how it was averaged"),
        (replace(GOOD, ways="one way"), "one way"),
        (replace(GOOD, passes=None), "passes not known"),
        (replace(GOOD, counting=SpeedStanding("does not count", ("spin out",))), "spoiled by spin out"),
        (replace(GOOD, set_aside=True), "set aside"),
    ],
)
def test_what_a_reader_should_know_is_flagged_with_a_reason(look, text):
    flags = flags_of(look)
    assert [flag.text for flag in flags] == [text]
    assert flags[0].why


@pytest.mark.parametrize("reading", [20.0, 55.0, 60.0])
def test_a_pack_within_its_limit_is_not_hot(reading):
    # 60 °C for all parts of a boat: page on operating temperatures of boats, read in an excerpt.
    assert flags_of(replace(GOOD, hottest=(("pack", reading),))) == []


@pytest.mark.parametrize(
    ("spot", "reading", "key"),
    [
        ("motor end bell", 69.0, "motor"), ("motor end bell", 71.0, "motor_magnets"),
        ("speed controller", 89.0, "controller"), ("speed controller", 95.0, "controller_cut"),
        ("pack", 61.0, "pack"), ("wires and plugs", 61.0, "wire"),
    ],
)  # fmt: skip
def test_the_highest_limit_that_was_passed_is_told(spot, reading, key):
    [flag] = flags_of(replace(GOOD, hottest=((spot, reading),)))
    limit = temperature_limits()[key]
    assert (flag.text, flag.why, flag.source) == (f"hot {spot}", limit.text, limit.source)


def test_a_hot_flag_names_its_source():
    assert "excerpt" in flags_of(replace(GOOD, hottest=(("pack", 61.0),)))[0].source


def test_a_run_without_speed_has_no_flags_about_reading():
    assert flags_of(replace(GOOD, speed_kmh=None, ways="", passes=None, averaging_s=0.0)) == []


@given(st.lists(st.integers(1, 8), min_size=1, max_size=4))
def test_series_adds_cells_and_parallel_never_does(cells):
    assert cells_in_series([("series", one) for one in cells]) == sum(cells)
    assert cells_in_series([("parallel", one) for one in cells]) == max(cells)


@given(st.integers(0, 10**6), st.integers(0, 10**5), st.booleans())
def test_a_guessed_start_is_never_before_the_run_before_it(after_s, ran_s, written_later):
    began = Moment("2026-05-09T09:00:00Z", 60)
    at = later(began, after_s)
    end = later(began, ran_s)
    assert guessed_start(began, end, at, written_later=written_later) >= end
    assert guessed_start(began, None, at, written_later=written_later) >= began


def test_a_run_copied_in_later_begins_with_its_outing_and_not_now():
    began, now = Moment("2026-05-09T09:00:00Z", 60), Moment("2026-05-09T19:00:00Z", 60)
    assert guessed_start(began, None, now, written_later=True) == began
    assert guessed_start(began, None, now, written_later=False) == now


def test_mean_current_is_charge_by_time():
    # 3000 mAh in 120 s are 90 A: own arithmetic, 3000 * 3.6 / 120.
    assert average_current(3000, 120).value == 90
    assert average_current(None, 120).value is None


def test_the_share_of_the_capacity_and_the_spread_of_the_cells_are_cautioned():
    assert share_of(2000, 4000, "stated").value == 50 and not share_of(2000, 4000, "stated").caution
    assert share_of(3600, 4000, "measured").caution == "over 80 %"
    assert spread_of([3.71, 3.60, 3.72]).caution and not spread_of([3.71, 3.70, 3.72]).caution
    assert spread_of([3.7]).value is None


def test_how_a_speed_is_known_is_said_in_words():
    told = SimpleNamespace(speed_kmh=80.0, speed_how="log", averaging_s=2.0, ways="one way", passes=1, course_m=None)
    assert known_words(told) == "log, mean over two seconds, one way, one pass"
    other = {"averaging_s": 0.0, "course_m": 100.58, "ways": "both ways"}
    words = known_words(SimpleNamespace(**vars(told) | other))
    assert words == "log, single reading, both ways over 100.58 m, one pass"
    assert known_words(SimpleNamespace(**vars(told) | {"speed_kmh": None})) == ""


def test_ratings_are_said_in_words():
    assert ride_words(Run(ride_rating=1, straight_rating=3, corner_rating=4, acceleration_rating=5)) == (
        "wet, fairly straight, rather planted in corners, snappy"
    )


def test_words_about_a_speed_and_limits_follow_the_units_preferred():
    told = SimpleNamespace(speed_kmh=80.0, speed_how="log", averaging_s=2.0, ways="one way", passes=1, course_m=100.584)
    # 1/16 mile is 330 ft: the international mile of 5280 ft, NIST Handbook 44, appendix C.
    assert known_words(told, DisplayUnits.imperial()) == "log, mean over two seconds, one way over 330 ft, one pass"
    # 60 °C is 140 °F, 70 to 77 °C are 158 to 171 °F: own arithmetic, 1.8 t + 32.
    fahrenheit = DisplayUnits.imperial()
    assert in_units("No hotter than 60 °C.", fahrenheit) == "No hotter than 140 °F."
    assert in_units("from 70 to 77 °C on", fahrenheit) == "from 158 to 171 °F on"
    assert in_units("from 70 to 77 °C on", DisplayUnits.metric()) == "from 70 to 77 °C on"
    assert in_units("after 3 minutes", fahrenheit) == "after 3 minutes"


def test_every_limit_is_told_whole_in_fahrenheit():
    for limit in temperature_limits().values():
        assert "°C" not in in_units(limit.text, DisplayUnits.imperial())


@pytest.mark.parametrize("step", [1, 2, 3, 4, 5])
def test_each_step_of_each_rating_has_words_of_its_own(step):
    names = ("ride_rating", "straight_rating", "corner_rating", "acceleration_rating")
    said = {ride_words(Run(**{name: step})) for name in names}
    assert len(said) == len(names) and "" not in said


def test_a_pack_that_starts_hot_and_a_log_without_its_window_are_flagged():
    hot = replace(GOOD, packs=[PackLook("J", "in service", "in service", 63.0)])
    assert [flag.text for flag in flags_of(hot)] == ["J hot at the start"]
    assert [flag.text for flag in flags_of(replace(GOOD, averaging_s=None))] == ["not known how it was averaged"]
    assert not flags_of(replace(GOOD, averaging_s=None, course_m=100.58)), "the course is what it is the mean over"


@pytest.mark.parametrize(
    ("start_c", "words"), [(9.9, ["J cold at the start"]), (10.0, []), (60.0, []), (60.1, ["J hot at the start"])]
)
def test_a_pack_may_start_at_either_limit_itself(start_c, words):
    looked = replace(GOOD, packs=[PackLook("J", "in service", "in service", start_c)])
    assert [flag.text for flag in flags_of(looked)] == words


@pytest.mark.parametrize(
    ("spot", "limits"), [("motor end bell", (60, 70)), ("speed controller", (60, 90)), ("pack", (60,))]
)
def test_a_reading_at_a_limit_has_not_passed_it(spot, limits):
    for count, limit in enumerate(limits):
        at, above = (flags_of(replace(GOOD, hottest=((spot, limit + more),))) for more in (0.0, 0.1))
        assert (len(at), len(above)) == (min(count, 1), 1) and above[0].text == f"hot {spot}"


def test_a_state_is_new_only_after_another_one():
    for before, now, count in ((None, 4, 0), (4, 4, 0), (3, 4, 1), (5, 4, 1)):
        assert len(flags_of(replace(GOOD, state_before=before, state_now=now))) == count


def test_how_a_speed_was_read_is_flagged_by_what_is_not_known_of_it():
    def told(**more) -> list[str]:
        return [flag.text for flag in flags_of(replace(GOOD, **more))]

    assert told(speed_how="", averaging_s=None) == [] and told(speed_how="display", averaging_s=2.0) == []
    assert told(speed_how="by eye", averaging_s=None) == ["by eye"]
    assert told(ways="") == ["one way or both not known"] and told(ways="both ways") == []
    flags = flags_of(replace(GOOD, speed_how="by eye", ways="one way", passes=None, averaging_s=0.0))
    # What the words about the speed say already is not said twice.
    assert {flag.text: flag.said for flag in flags} == {
        "peak": False, "by eye": True, "one way": True, "passes not known": True
    }  # fmt: skip
    assert all(flag.source for flag in flags) and flags_of(replace(GOOD, ways=""))[0].said


def test_the_state_of_the_next_run_is_new_if_the_last_one_was_made_with_another():
    last = SimpleNamespace(number=7, started_at="2026-05-09T10:00:00Z", offset_min=0)
    said = [kept_state(number, of, was).flag for number, of, was in ((3, last, 2), (3, last, 3), (3, None, None))]
    assert said == ["new since run 7 of 9 May 2026", "", ""]
    assert kept_state(None, None, None).flag == "her first" and kept_state(None, last, 2).flag == ""


@pytest.mark.parametrize(
    ("flag", "keeps"),
    [
        (DENIED, True),
        ("spoiled by flip", True),
        ("does not count", True),
        ("asked: does it count?", False),
        ("one way", False),
        ("", False),
        ("is spoiled by", False),
    ],
)
def test_which_flags_say_that_no_record_counts_a_speed(flag, keeps):
    assert keeps_from_records(flag) is keeps


def _correction(field: str, old: str, new: str) -> Correction:
    return Correction(owner="run", owner_id=1, field=field, old=old, new=new, why="slip", at="2026-05-09T10:00:00Z")


@pytest.mark.parametrize(
    ("field", "old", "new", "told"),
    [
        ("speed_kmh", "80.0", "", ("top speed", "49.7 mph", "nothing")),
        ("temperature 2", "pack 60 °C", "pack 50 °C", ("temperature 2", "pack 140 °F", "pack 122 °F")),
        ("started_at", "10:00", "10:05", ("start", "10:00", "10:05")),
        ("note", "60 °C", "", ("note", "60 °C", "nothing")),
        ("J: charge_mah", "1000", "2000", ("J, charge put back", "1,000 mAh", "2,000 mAh")),
        ("rudder_trim", "", "left", ("rudder trim", "nothing", "left")),
        ("speed_kmh", "fast", "80.0", ("top speed", "fast", "49.7 mph")),
    ],
)  # fmt: skip
def test_what_was_mended_is_told_in_words_and_units(field, old, new, told):
    [said] = mended_words([_correction(field, old, new)], DisplayUnits({"speed": "mph", "temperature": "°F"}))
    assert (said.what, said.old.replace("\u202f", ","), said.new.replace("\u202f", ",")) == told and said.why == "slip"


def test_of_services_five_hundred_runs_are_counted():
    counted = [(1, "", f"[{count}, 60, {count}]") for count in (499, 500)]
    for row, is_cut in zip(counted, (False, True), strict=True):
        session = SimpleNamespace(execute=lambda *asked, row=row: [row])
        assert runs_since(session, [(1, "")], "9999")[1, ""].is_cut == is_cut
