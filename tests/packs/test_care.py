"""Reminders, over-hot and damaged packs, and the newest entries they rest on."""

import json

import pytest

from garage.moments import Moment
from garage.packs.care import LastKnown, imbalance_v, reminders, why_blocked
from garage.packs.care_store import care_of
from garage.packs.log.cycles import cycles_of
from garage.packs.log.cycles_store import day_after, packs_at_hand, use_before
from garage.packs.log.store import add_log_entry
from garage.packs.store import AfterRun, enter_run_discharges, packs_by_ids
from garage.packs.tables import Pack
from garage.packs.verdict_store import not_without_asking

NOW = Moment("2026-05-09T14:30:00Z", 0)


def moment(day: int) -> Moment:
    return Moment(f"2026-05-{day:02d}T10:00:00Z", 120)


def pack(session, code="J", **facts) -> int:
    row = Pack(code=code, cells_s=3, capacity_mah=4000, created_at=NOW.utc, **facts)
    session.add(row)
    session.flush()
    return row.id


def write(session, pack_id, kind, day, **facts):
    at = moment(day)
    return add_log_entry(session, pack_id, {"kind": kind, "at": at.utc, "offset_min": at.offset_min} | facts, NOW)


@pytest.mark.parametrize(
    ("last", "words"),
    [
        (LastKnown("charge", "2026-05-04"), "Full for 5 days"),
        (LastKnown("run", "2026-05-04", put_back=True), "Charged after a run 5 days ago"),
        (LastKnown("run", "2026-05-04"), "Emptied 5 days ago"),
        (LastKnown("bench", "2026-05-04"), "Emptied 5 days ago"),
        (LastKnown("storage", "2026-01-04"), "Nobody looked"),
    ],
)
def test_what_is_due_is_said_with_its_source(last, words):
    found = reminders(last, "", "2026-05-09")
    assert len(found) == 1 and words in found[0].text and found[0].source


@pytest.mark.parametrize(
    "last",
    [None, LastKnown("charge", "2026-05-08"), LastKnown("storage", "2026-04-01"), LastKnown("look", "2026-04-01")],
)
def test_nothing_is_due_for_a_pack_in_order(last):
    assert reminders(last, "", "2026-05-09") == []


@pytest.mark.parametrize("kind", ["charge", "run", "storage", "look"])
@pytest.mark.parametrize(
    ("seen_v", "words"), [(4.18, "Still full, 4.18 V a cell"), (3.95, "Still full"), (3.85, ""), (3.5, "Low, 3.50 V")]
)
def test_volts_read_since_go_before_what_was_done(kind, seen_v, words):
    found = reminders(LastKnown(kind, "2026-05-04", kind == "run", seen_v), "", "2026-05-09")
    assert [words in one.text and one.source != "" for one in found] == ([True] if words else [])
    assert reminders(LastKnown(kind, "2026-05-08", kind == "run", seen_v), "", "2026-05-09") == []


def test_a_look_at_the_volts_does_not_hide_that_a_pack_was_left_full(session):
    pack_id = pack(session)
    write(session, pack_id, "charge", 2)
    write(session, pack_id, "look", 4, volts=json.dumps((4.17, 4.18, 4.18)))
    last = care_of(session, [pack_id])[pack_id].last
    assert (last.kind, last.day, round(last.seen_v, 3)) == ("charge", "2026-05-02", 4.177)
    write(session, pack_id, "look", 6, volts=json.dumps((3.84, 3.84, 3.84)))
    assert reminders(care_of(session, [pack_id])[pack_id].last, "", "2026-05-09") == []
    write(session, pack_id, "run", 7)
    assert care_of(session, [pack_id])[pack_id].last.seen_v is None


def test_a_pack_over_sixty_degrees_or_damaged_is_blocked_and_a_warm_one_is_not():
    assert "63 °C" in why_blocked("", 63) and why_blocked("puffed", None) == "puffed"
    assert why_blocked("", 60) == "" and why_blocked("", None) == ""


def test_the_newest_discharge_blocks_and_a_look_at_the_volts_lifts_it(session):
    pack_id = pack(session)
    enter_run_discharges(session, 1, moment(3), {pack_id: AfterRun(3000, 63.0, [3.7, 3.71, 3.7])})
    packs = list(packs_by_ids(session, [pack_id]).values())
    assert "63 °C" in not_without_asking(session, packs)[pack_id]
    write(session, pack_id, "storage", 4)
    assert pack_id in not_without_asking(session, packs)
    write(session, pack_id, "look", 5, volts=json.dumps((3.8, 3.81, 3.8)))
    assert not_without_asking(session, packs) == {}
    assert care_of(session, [pack_id])[pack_id].rested.volts == [3.8, 3.81, 3.8]


def test_resting_volts_of_a_run_are_there_already(session):
    pack_id = pack(session)
    enter_run_discharges(session, 1, moment(3), {pack_id: AfterRun(3000, 40.0, [3.7, 3.62, 3.7])})
    found = care_of(session, [pack_id])[pack_id]
    assert found.last == LastKnown("run", "2026-05-03", put_back=True)
    assert imbalance_v(found.rested.volts) == 0.08 and imbalance_v([3.7]) is None


def test_counts_as_of_any_date(session):
    pack_id = pack(session, charges_before=5)
    for day, charge in ((1, 3000), (2, None), (3, 2000)):
        write(session, pack_id, "bench", day, charge_mah=charge)
    write(session, pack_id, "storage", 4)
    row = packs_by_ids(session, [pack_id])[pack_id]
    counted = {
        day: cycles_of(row, use_before(session, [pack_id], day_after(f"2026-05-0{day}"))[pack_id]) for day in (1, 2, 4)
    }
    assert [(one.charges, one.full) for one in counted.values()] == [(6, 0.75), (7, 0.75), (8, 1.25)]
    assert "1 discharge without a charge" in counted[4].origin and "5 before this notebook" in counted[4].origin


def test_a_day_ends_at_midnight_by_the_clocks_on_the_spot():
    assert day_after("2026-05-01") == "2026-05-02T00:00:00Z"
    assert day_after("2026-05-01", 120) == "2026-05-01T22:00:00Z"
    assert day_after("2026-12-31", -330) == "2027-01-01T05:30:00Z"
    assert day_after("", 120) > "9999"


def test_packs_without_any_entry_are_known_too(session):
    pack_id = pack(session)
    assert care_of(session, [pack_id])[pack_id].last is None
    assert use_before(session, [pack_id])[pack_id].discharges == 0


def test_packs_used_last_come_first_and_retired_ones_not_at_all(session):
    first, second, gone = pack(session, "A"), pack(session, "B"), pack(session, "C", retired_on="2026-05-01")
    for one in (gone, first, second):
        write(session, one, "bench", 2)
    write(session, second, "bench", 3)
    assert [row.id for row in packs_at_hand(session, 9)] == [second, first]
