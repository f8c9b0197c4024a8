"""What is said of packs, both sides of each threshold; the thresholds are those that the pages name."""

import json
from dataclasses import replace
from itertools import count
from math import log

import pytest

from garage.calc.ageing.cells import Drift
from garage.calc.ageing.settling import Settling
from garage.calc.ageing.temperature import at_reference
from garage.calc.ageing.trend import Forecast, Trend
from garage.moments import Moment
from garage.packs import sheets
from garage.packs.ageing.capacity import Test as CapacityTest
from garage.packs.ageing.capacity import capacity_of, share_of_first
from garage.packs.ageing.sheets import ageing_sheet
from garage.packs.ageing.store import History, history, point_of
from garage.packs.ageing.trend import Point, ageing, ahead, comparable
from garage.packs.ageing.words import date_words, drift_words, reach_words, settling_words, slope_words
from garage.packs.break_in import standing
from garage.packs.care import LastKnown, reminders, why_blocked
from garage.packs.log.cycles import cycles_of
from garage.packs.log.cycles_store import Use
from garage.packs.log.latest_store import Resistance, at_the_time
from garage.packs.log.reading_sheets import cells_that_stand_out, readings_sheet
from garage.packs.matching import Member, together
from garage.packs.retirement import Condition, verdict_on
from garage.packs.store import pack_text
from garage.packs.tables import Pack, PackLog, PackReading
from garage.packs.wear import may_be_worn
from garage.units import DisplayUnits

TODAY = "2026-05-09"
NOW = Moment("2026-05-09T14:30:00Z", 120)
AT = Moment("2026-05-01T10:00:00Z", 0)


def _pack(**facts) -> Pack:
    known = {"id": 3, "code": "J", "cells_s": 3, "capacity_mah": 4000.0, "created_at": AT.utc}
    return Pack(**known | facts)


def test_slopes_and_drifts_are_percent_over_ten_discharges_with_their_sign():
    # ln 1.1 / 10 a discharge is a tenth in ten.
    line = Trend(10, 0, 0.1, log(1.1) / 10, log(0.95) / 10, log(1.25) / 10, 0.01, 9)
    assert slope_words(line, 9) == "+10.0 % over 10 discharges (−5.0 to +25.0)"
    assert slope_words(replace(line, slope=0.0), 9).startswith("0.0 % over")
    assert slope_words(None, 5) == "5 compared; a trend needs 1 more at other counts"
    apart = Drift(1.3, log(1.1) / 10, log(1.02) / 10, log(1.2) / 10, True)
    assert drift_words(apart, 1.3) == "1.30 times its mates, and moves away: +2.0 to +20.0 % over 10 discharges"
    assert drift_words(replace(apart, apart=False), 1.3) == drift_words(None, 1.3) == "1.30 times its mates"


def test_settling_is_told_with_the_discharge_before_which_it_was_not():
    assert settling_words(Settling(7.4, 0.123, 3.0, 12)) == (
        "by its readings (12): settled after about 6 discharges; it began 12 % higher"
    )
    assert "after about 0 discharges" in settling_words(Settling(0.4, 0.123, 3.0, 12))
    assert settling_words(Settling(None, 0.0, 0.0, 4)) == "by its readings (4): not proven"


@pytest.mark.parametrize(
    ("found", "words"),
    [
        (Forecast(1500.0, 1200.0, 1600.0), "discharge 1500 (1200 to 1600)"),
        (Forecast(1500.1, 81.0, 1600.0), "not before discharge 81"),
        (Forecast(1500.1, 80.0, 1600.0), "no end in sight yet"), (Forecast(200.0, 1500.0, None), "no end in sight yet"),
        (Forecast(90.0, 70.0, 81.0), "discharge 90 (80 to 81)"), (Forecast(90.0, 70.0, 80.0), "past the limit already"),
        (Forecast(70.0, 60.0, 200.0), "discharge 80 (80 to 200)"), (None, ""),
    ],
)  # fmt: skip
def test_a_forecast_is_seen_from_now(found, words):
    said = reach_words(found, 80, False)
    assert words in said if words else said == ""
    if words == "no end in sight yet":
        assert said == words
    assert ahead(None, 80) is None and ahead(Forecast(1.0, None, None), 80) == Forecast(1.0, None, None)


def test_a_date_is_as_many_days_ahead_as_the_pace_says():
    # 60 discharges in 360 days: six days each.
    found = Forecast(90.0, 85.0, 100.0)
    assert date_words(found, 80, 60, 360.0, "2026-05-09") == (
        "about July 2026 (June 2026 to September 2026), at 5.0 discharges a month as in the last year"
    )
    # An end that is past is now; ten years are told as such.
    assert date_words(Forecast(90.0, 70.0, 100.0), 80, 60, 360.0, TODAY).startswith("about July 2026 (May 2026 to")
    assert "to May 2036)" in date_words(Forecast(90.0, 85.0, 80 + 3652 / 6), 80, 60, 360.0, TODAY)
    assert "to ten years" in date_words(Forecast(90.0, 85.0, 80 + 3653 / 6), 80, 60, 360.0, TODAY)
    for none in (None, Forecast(1501.0, 90.0, 1600.0), Forecast(90.0, 70.0, 80.0), Forecast(None, None, None)):
        assert date_words(none, 80, 60, 360.0, TODAY) == ""
    assert date_words(Forecast(1500.0, 90.0, 1600.0), 80, 60, 360.0, TODAY) != ""
    assert date_words(Forecast(90.0, 70.0, 81.0), 80, 60, 360.0, TODAY) != ""


def _point(day: int, temperature: float | None = 22.0, charge: float | None = 50.0, cells=(2.0, 2.1, 2.05)) -> Point:
    return Point(Moment(f"2026-04-{day:02d}T10:00:00Z", 0), day, tuple(cells), temperature, charge)


@pytest.mark.parametrize(
    ("odd", "compared"),
    [
        (_point(9, temperature=29.5), True), (_point(9, temperature=29.6), False), (_point(9, temperature=14.5), True),
        (_point(9, temperature=14.4), False), (_point(9, charge=65.0), True), (_point(9, charge=65.1), False),
        (_point(9, charge=35.0), True), (_point(9, charge=34.9), False), (_point(9, charge=None), True),
    ],
)  # fmt: skip
def test_readings_are_compared_up_to_seven_and_a_half_kelvin_and_fifteen_points_from_the_middle(odd, compared):
    kept, left_out = comparable([*map(_point, range(1, 8)), odd])
    assert (odd in kept, len(left_out)) == (compared, 0 if compared else 1)


@pytest.mark.parametrize(("temperature", "brought"), [(5.0, True), (4.9, False), (50.0, True), (50.1, False)])
def test_readings_are_brought_to_25_degrees_from_5_to_50(temperature, brought):
    assert bool(comparable([_point(1, temperature=temperature)])[0]) == brought
    worn = may_be_worn([(temperature, (9.0, 2.0, 2.0))], None)
    assert worn == brought


def test_what_is_left_out_is_told_in_order_with_how_far_it_is_off():
    points = [
        *map(_point, range(1, 8)),
        _point(9, temperature=34.0),
        _point(8, temperature=10.0),
        _point(10, charge=90),
    ]
    said = [(one.at.utc[8:10], one.why) for one in comparable(points)[1]]
    assert said == [
        ("08", "12 K colder than the middle of the others"), ("09", "12 K warmer than the middle of the others"),
        ("10", "state of charge 40 points from the middle of the others"),
    ]  # fmt: skip
    assert comparable([]) == ([], [])


def test_a_limit_is_twice_the_middle_of_the_first_three_or_ones_own():
    points = [_point(day, 25.0, None, (cell, 3.0)) for day, cell in enumerate((2.0, 2.2, 2.1, 4.1), 1)]
    said = ageing(points, None)
    first, second = said.cells
    assert first.limit == pytest.approx(4.2) and second.limit == pytest.approx(6.0)
    assert not first.at_limit and said.worst is first and first.number == 1 and said.charge_unknown == 4
    assert first.now.value == pytest.approx(4.1) and first.raw[0][1] == 2.0 and first.ratio == pytest.approx(4.1 / 3)
    assert ageing(points, 4.1).cells[0].at_limit and not ageing(points, 4.11).cells[0].at_limit
    assert ageing(points, 4.1).cells[1].limit == 4.1


def test_worn_is_looked_at_closer_where_a_limit_may_be_near():
    def worn(*cells: float, limit=None) -> bool:
        return may_be_worn([(25.0, (cell,)) for cell in cells], limit)

    # Twice the first, less what another constant could make of the first and of the last: 2 / 1.27².
    assert worn(2.0, 2.49) and not worn(2.0, 2.47)
    assert worn(4.5, limit=5.7) and not worn(4.4, limit=5.7)
    assert may_be_worn([(25.0, (2.0, 2.0, 3.0))], 90.0) and not may_be_worn([(25.0, (2.0, 2.0, 2.99))], 90.0)
    # Two cells have no middle to stand out from.
    assert not may_be_worn([(25.0, (2.0, 3.0))], 90.0) and not may_be_worn([(None, (2.0, 2.0, 9.0))], 90.0)
    # A reading at 10 °C is brought to 25 °C: 2.0 mΩ there are 1.26 here.
    assert not may_be_worn([(10.0, (2.0,)), (25.0, (1.55,))], None)
    assert may_be_worn([(10.0, (2.0,)), (25.0, (1.6,))], None)
    assert not may_be_worn([], None)


def _tests(*charges: float) -> list[CapacityTest]:
    return [CapacityTest(AT, 10 * place, charge, 5.0, 21.0) for place, charge in enumerate(charges)]


@pytest.mark.parametrize(
    ("charges", "first"),
    [
        ((5000,), 5000), ((5000, 4800), 5000), ((5000, 4800, 4600), 5000), ((5000, 4800, 4600, 4500), 4900),
        ((5000, 4800, 4600, 4500, 4400), 4900), ((5000, 4800, 4700, 4500, 4400, 4300), 4800),
        ((5000, 4800, 4700, 4650, 4600, 4550, 4500, 4400), 4800),
    ],
)  # fmt: skip
def test_the_first_capacity_is_the_middle_of_at_most_three_and_half_of_the_tests(charges, first):
    found = capacity_of(_tests(*charges))
    assert (found.first_mah, found.limit_mah) == (first, pytest.approx(0.8 * first))
    assert found.share == share_of_first(charges) == pytest.approx(charges[-1] / first)
    assert share_of_first([]) is None


@pytest.mark.parametrize(("last", "at_limit"), [(4000, False), (3999, True)])
def test_a_pack_is_worn_below_four_fifths_of_its_first_capacity(last, at_limit):
    assert capacity_of(_tests(5000, last)).at_limit == at_limit
    share = capacity_of(_tests(5000, last)).share
    assert bool(verdict_on(Condition(capacity_share=share)).reasons) == at_limit


@pytest.mark.parametrize(
    ("condition", "speaks"),
    [
        (Condition(volts=[3.80, 3.70]), False), (Condition(volts=[3.81, 3.70]), True),
        (Condition(volts=[3.3, 3.3]), False), (Condition(volts=[3.29, 3.3]), True),
        (Condition(ratios=[1.5, 1.0, 1.0]), True), (Condition(ratios=[1.49, 1.0, 1.0]), False),
        (Condition(ratios=[1.5, 1.0]), False), (Condition(), False),
    ],
)  # fmt: skip
def test_each_reason_to_retire_begins_at_its_figure(condition, speaks):
    verdict = verdict_on(condition)
    assert bool(verdict.reasons) == bool(verdict.words) == bool(verdict.measured_words) == speaks
    assert verdict_on(condition, retired=True).words == verdict_on(condition, retired=True).measured_words == ""


def test_what_was_seen_and_measured_are_said_together_in_short():
    verdict = verdict_on(Condition("puffed", (1, 3), "your limit", [1.6, 1.0, 1.7], 0.7, [3.2, 3.4]))
    assert verdict.words == (
        "retire it: puffed; cell 1, 3 at your limit; cell 1, 3 reads 1.5 times its mates; capacity down to 70 %; "
        "cells 0.20 V apart at rest; a cell at 3.20 V at rest"
    )
    assert verdict.measured_words.startswith("retire it: cell 1, 3 at your limit")
    assert len(verdict.seen) == 1 and len(verdict.reasons) == 6
    assert "swollen" in verdict.seen[0].text and "damaged" in verdict_on(Condition("wet")).seen[0].text


@pytest.mark.parametrize(
    ("last", "look", "count"),
    [
        (LastKnown("charge", "2026-05-07"), "", 0), (LastKnown("charge", "2026-05-06"), "", 1),
        (LastKnown("storage", "2026-02-08"), "", 0), (LastKnown("storage", "2026-02-07"), "", 1),
        (LastKnown("storage", "2026-01-01"), "2026-02-08", 0), (LastKnown("storage", "2026-01-01"), "2026-02-07", 1),
        (LastKnown("look", "2026-05-06", seen_v=3.95), "", 1), (LastKnown("look", "2026-05-06", seen_v=3.94), "", 0),
        (LastKnown("look", "2026-05-06", seen_v=3.6), "", 0), (LastKnown("look", "2026-05-06", seen_v=3.59), "", 1),
        (LastKnown("capacity", "2026-05-06"), "", 1), (LastKnown("bench", "2026-05-06", put_back=True), "", 1),
        (None, "", 0),
    ],
)  # fmt: skip
def test_two_days_full_and_ninety_days_unseen_are_too_long(last, look, count):
    assert len(reminders(last, look, TODAY)) == count


def test_what_rests_on_nothing_written_is_doubtful():
    run = LastKnown("run", "2026-05-01")
    lasts = (LastKnown("charge", "2026-05-01"), replace(run, put_back=True), run, replace(run, seen_v=4.1))
    assert [reminders(last, "", TODAY)[0].doubtful for last in lasts] == [False, True, True, False]
    words = reminders(LastKnown("storage", "2026-01-01"), "2026-02-01", TODAY)[0].text
    assert words == "Nobody looked at its resting volts for 97 days."
    assert why_blocked("", 60.1) and why_blocked("wet", 70.0) == "wet"


def _member(code: str, **more) -> Member:
    known = {"cells_s": 3, "capacity_mah": 4000.0, "measured": False, "first_used_on": ""}
    return Member(code=code, **known | {"standing": standing(9, 4, "", TODAY)} | more)


def test_members_of_a_set_are_held_against_each_other():
    small = _member("G", capacity_mah=3600.0)
    assert together([_member("F"), small], "series").cautions == []
    assert "a tenth" in together([_member("F"), replace(small, capacity_mah=3599.0)], "series").cautions[0]
    fresh = _member("H", standing=standing(1, 4, "", TODAY))
    assert together([_member("F"), fresh], "series").cautions == ["One is broken in, another is not."]
    gone = _member("K", standing=standing(9, 4, "2026-05-01", TODAY))
    assert together([_member("F"), gone, fresh], "series").flag == "retired"
    assert together([_member("F"), _member("G", cells_s=4)], "parallel").cells_s == 3
    assert together([_member("F"), _member("G", cells_s=4)], "series").cautions == []
    dated = [_member("F", first_used_on="2025-01-01"), _member("G", first_used_on="2025-01-01")]
    assert together(dated, "series").weaker == []
    assert together([_member("F", first_used_on="2025-01-01"), _member("G")], "series").weaker == []
    assert together([small, _member("F")], "series").weaker == ["G: lowest capacity, 3600 mAh stated"]


@pytest.mark.parametrize(
    ("cells", "words"),
    [
        ((2.0, 2.0, 3.0), "cell 3"), ((2.0, 2.0, 2.99), ""), ((3.0, 2.0), ""), ((9.0,), ""),
        ((2.0, 3.2, 2.0, 3.3, 2.0), "cells 2, 4"),
    ],
)  # fmt: skip
def test_a_cell_stands_out_at_half_again_of_the_middle(cells, words):
    assert cells_that_stand_out(cells) == words


@pytest.mark.parametrize(
    ("entry", "question"),
    [
        ({}, ""), ({"charge_mah": 4600.0}, ""), ({"charge_mah": 4601.0}, "more than the pack holds?"),
        ({"at": "2026-03-31T10:00:00Z"}, "before the day it was bought?"),
        ({"at": "2026-04-01T10:00:00Z"}, "before its first charge?"), ({"at": "2026-04-02T10:00:00Z"}, ""),
        ({"at": "2026-03-31T23:00:00Z", "offset_min": 120}, "before its first charge?"),
    ],
)  # fmt: skip
def test_an_entry_that_does_not_go_with_the_pack_is_questioned(entry, question):
    pack = _pack(bought_on="2026-04-01", first_charged_on="2026-04-02")
    row = PackLog(id=1, pack_id=3, **{"at": AT.utc, "kind": "bench", "created_at": AT.utc, "offset_min": 0} | entry)
    assert sheets.log_line(row, pack).question == question
    more = _pack(capacity_measured_mah=4500.0)
    assert sheets.log_line(replace_charge(row, 5175.0), more).question == ""
    assert sheets.log_line(replace_charge(row, 5176.0), more).question == "more than the pack holds?"


def replace_charge(row: PackLog, charge_mah: float) -> PackLog:
    """The same entry with another charge."""
    return PackLog(**row.model_dump() | {"charge_mah": charge_mah})


def test_a_line_of_the_log_says_what_the_entry_was():
    row = PackLog(
        id=7, pack_id=3, at=AT.utc, offset_min=60, kind="run", charge_mah=2100.0, run_id=9, volts="[3.7, 3.705]",
        set_aside_at=AT.utc, created_at=AT.utc,
    )  # fmt: skip
    line = sheets.log_line(row, _pack())
    assert (line.id, line.at, line.what, line.run_id, line.set_aside) == (7, Moment(AT.utc, 60), "run", 9, True)
    assert (line.charge.value, line.charge.origin, line.volts) == (2100.0, "put back", "3.70 3.71")
    bench = PackLog(**row.model_dump() | {"kind": "bench", "set_aside_at": None, "volts": ""})
    told = sheets.log_line(bench, _pack())
    assert (told.what, told.charge.origin, told.set_aside, told.volts) == (
        "discharge on the bench", "read off", False, ""
    )  # fmt: skip


def test_cycles_are_counted_and_charge_is_set_against_capacity():
    use = Use(discharges=7, charge_mah=12000.0, without_charge=1, last="")
    stated = cycles_of(_pack(charges_before=5), use)
    assert (stated.charges, stated.full) == (12, 3.0)
    assert stated.origin == (
        "charge out by stated capacity; not in it: 1 discharge without a charge written, 5 before this notebook"
    )
    measured = cycles_of(_pack(capacity_measured_mah=3000.0, charges_before=0), replace(use, without_charge=0))
    assert (measured.full, measured.origin) == (4.0, "charge out by measured capacity")
    assert "2 discharges without" in cycles_of(_pack(), replace(use, without_charge=2)).origin


def test_a_pack_is_named_with_its_cells_and_capacity():
    assert pack_text(_pack()).text == "J · 3S 4\u202f000 mAh"
    assert pack_text(_pack(cells_p=2, capacity_mah=950.4)).text == "J · 3S2P 950 mAh"


def test_the_forms_of_damage_and_log_begin_with_what_is_known():
    told = sheets.damage_sheet(_pack(damage="puffed, wet: after a flip"), "")
    assert told.values == {"signs": ["puffed", "wet"], "words": "after a flip"}
    assert sheets.damage_sheet(_pack(damage="dropped: twice"), "").values == {"signs": [], "words": "dropped: twice"}
    assert sheets.damage_sheet(_pack(), "").values == {"signs": [], "words": ""}
    rows = [PackLog(id=n, pack_id=3, at=AT.utc, kind="bench", created_at=AT.utc) for n in range(3)]
    found = sheets.AsOf("")
    use = cycles_of(_pack(), Use(0, 0.0, 0, ""))
    for limit, kind, begun in ((2, "look", "look"), (3, "run", "bench"), (4, "", "bench")):
        sheet = sheets.log_sheet(_pack(), rows, standing(1, 4, "", TODAY), use, found, NOW, 1, limit, kind)
        assert (len(sheet.rows), sheet.more) == (min(limit, 3), limit < 3)
        assert sheet.values == {"kind": begun, "at": NOW.local_text()}
    facts = sheets.pack_facts(_pack(stated_c=50.0, break_in_c=2.5), standing(3, 4, "", TODAY))
    assert (facts.stated_c, facts.break_in_c, facts.discharges) == ("50", "2.5", 3)
    assert sheets.pack_facts(_pack(), standing(3, 4, "", TODAY)).break_in_c == ""


def test_readings_are_told_by_method_and_instrument_and_the_form_begins_as_the_last():
    def row(number: int, method: str = "AC 1 kHz", instrument: str = "Grey") -> PackReading:
        return PackReading(
            id=number, pack_id=3, at=AT.utc, cells_mohm="[2.0, 2.1, 3.5]", method=method, instrument=instrument,
            volts="[3.8]" if number == 2 else "", created_at=AT.utc,
        )  # fmt: skip

    rows = [row(1), row(2, "other", ""), row(3, instrument="grey"), row(4)]
    sheet = readings_sheet(_pack(), rows, NOW, 1, 3, "")
    assert [(group.method, [line.id for line in group.readings], group.has_volts) for group in sheet.groups] == [
        ("AC 1 kHz", [1, 3], False), ("other", [2], True)
    ]  # fmt: skip
    assert [line.id for line in sheet.rows] == [1, 3, 2] and sheet.more
    assert not readings_sheet(_pack(), rows, NOW, 1, 4, "").more
    assert sheet.values == {"at": NOW.local_text(), "method": "AC 1 kHz", "instrument": "Grey"}
    assert readings_sheet(_pack(), [], NOW, 1, 3, "").values == {"at": NOW.local_text()}
    assert sheet.rows[0].cells[0].origin == "AC 1 kHz, Grey" and sheet.rows[2].cells[0].origin == "other"
    assert sheet.rows[0].stands_out == "cell 3" and sheet.rows[2].volts == "3.80"


def test_a_reading_knows_its_charge_by_rested_volts_where_nobody_wrote_it():
    def charge(**more) -> float | None:
        known = {"at": AT.utc, "cells_mohm": "[2.0]", "method": "other", "volts": "[3.8, 3.8]", "rest_min": 30.0}
        row = PackReading(pack_id=3, created_at=AT.utc, **known | more)
        return point_of(row, 5, ["2026-04-01T10:00:00Z", AT.utc]).charge_percent

    assert charge(state_of_charge_percent=0.0) == 0.0 and 20 < charge() < 60
    assert charge(volts="[3.8, 4.2]") == charge(volts="[4.0]") > charge()
    assert charge(rest_min=29.9) is charge(rest_min=None) is charge(volts="") is None
    row = PackReading(
        pack_id=3, created_at=AT.utc, at=AT.utc, cells_mohm="[2.0, 2.5]", method="other", temperature_c=20
    )
    point = point_of(row, 5, ["2026-04-01T10:00:00Z", AT.utc])
    # A discharge at that very moment is not before it.
    assert (point.discharges, point.cells_mohm, point.temperature_c) == (6, (2.0, 2.5), 20)


def test_the_resistance_at_a_run_is_the_last_before_it_or_else_the_first():
    found = [Resistance(Moment(f"2026-05-0{day}T10:00:00Z", 0), [at_reference(day, 25.0)], "other") for day in (2, 4)]
    assert [at_the_time(found, f"2026-05-0{day}T10:00:00Z").at.utc[9] for day in (1, 2, 3, 4, 5)] == list("22244")
    assert at_the_time([], AT.utc) is None
    both = Resistance(AT, [at_reference(2.0, 25.0), at_reference(4.0, 25.0)], "other")
    assert both.pack_mohm == pytest.approx(6) and both.mean_mohm.value == pytest.approx(3)
    assert both.mean_mohm.low < 3 < both.mean_mohm.high


def test_the_page_of_ageing_shows_one_group_and_names_the_others():
    points = [_point(day, 25.0) for day in range(1, 8)]
    groups = {("charger DC step", "grey"): points, ("AC 1 kHz", ""): points[:2]}
    tests = _tests(5000, 4900, 3900)
    found = History(groups, tests, 80, 60, 360.0)
    sheet = ageing_sheet(_pack(limit_mohm=9.0), found, verdict_on(Condition()), "0", TODAY, DisplayUnits())
    assert sheet.method == "charger DC step, grey"
    assert [(one.text, one.query, one.count, one.current) for one in sheet.groups] == [
        ("charger DC step, grey", "0", 7, True), ("AC 1 kHz", "1", 2, False)
    ]  # fmt: skip
    for asked, place in (("1", 1), ("2", 0), ("x", 0), ("", 0), ("²", 0)):
        other = ageing_sheet(_pack(), found, verdict_on(Condition()), asked, TODAY, DisplayUnits())
        assert [one.current for one in other.groups].index(True) == place
    assert (sheet.discharges, sheet.compared, sheet.charge_unknown, sheet.rule) == (80, 7, 0, "4 gentle discharges")
    assert [row.discharges for row in sheet.readings] == [7, 6, 5, 4, 3, 2, 1]
    row, cell = sheet.readings[0], sheet.cells[1]
    assert [one.value for one in row.cells] == [2.0, 2.1, 2.05] and row.at_25[1].value == pytest.approx(2.1)
    assert (cell.number, cell.read.value, cell.limit.value) == (2, 2.1, 9.0) and cell.limit.origin.startswith(
        "your limit"
    )
    assert (cell.now.low, cell.now.high) == (row.at_25[1].low, row.at_25[1].high)
    assert cell.mates.startswith("1.04 times its mates") and cell.slope.startswith("0.0 %") and not cell.apart
    # 2600 K at 25 °C: 2600 / 298.15².
    assert sheet.constant.startswith("2.9 % a kelvin (2600 K, 2000 to 3500; usual")
    assert [(test.charge.value, test.share.caution) for test in sheet.tests] == [
        (3900, "under 80 %"), (4900, ""), (5000, "")
    ]  # fmt: skip
    at_limit = History({}, _tests(5000, 4000), 80, 60, 360.0)
    [last, _] = ageing_sheet(_pack(), at_limit, verdict_on(Condition()), "", TODAY, DisplayUnits()).tests
    assert (last.share.value, last.share.caution) == (80.0, "")
    assert sheet.tests[0].share.value == pytest.approx(78) and sheet.capacity_reaches == "at the limit now, as measured"
    bare = ageing_sheet(_pack(break_in_charges=0), History({}, [], 0, 0, 0.0), verdict_on(Condition()), "", TODAY,
                        DisplayUnits())  # fmt: skip
    assert (bare.method, bare.rule, bare.readings, bare.cells, bare.tests) == ("", "none", [], [], [])
    assert json.dumps(bare.capacity_slope) == '"0 compared; a trend needs 5 more at other counts"'


def test_the_pace_is_that_of_the_last_365_days_over_a_month_at_least(session):
    numbers = count(1)

    def pace(*moments: str) -> tuple[int, float]:
        pack = _pack(id=None, code=f"P{next(numbers)}")
        session.add(pack)
        session.flush()
        session.add_all(PackLog(pack_id=pack.id, at=at, kind="bench", created_at=AT.utc) for at in moments)
        session.flush()
        found = history(session, pack, NOW)
        return found.a_year, found.days

    # Now is 9 May 2026, 14:30; a year before, to the second, is within.
    assert pace("2025-05-09T14:30:00Z") == (1, 365.0) and pace("2025-05-09T14:29:59Z") == (0, 0.0)
    assert pace("2025-05-01T10:00:00Z", "2026-03-30T14:30:00Z", "2026-05-01T10:00:00Z") == (2, 40.0)
    assert pace("2026-05-01T10:00:00Z") == (1, 30.0) and pace() == (0, 0.0)
