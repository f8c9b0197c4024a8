"""What the room tells of packs, sets, log entries and readings, for search, bin and whatever is attached to them."""

import pytest
from sqlmodel import Session, select

from garage.packs.ageing.pages import pages as ageing_pages
from garage.packs.log.many_pages import pages as many_pages
from garage.packs.log.pages import pages as log_pages
from garage.packs.log.store import add_reading
from garage.packs.tables import Pack, PackLog, PackReading, PackSet
from garage.packs.things import PACK, PACK_LOG, PACK_READING, PACK_SET, THINGS
from tests.seeded import NOW, Garage, at, reading_form, with_history
from tests.told_things import asked_for, told


@pytest.fixture
def garage(session: Session) -> Garage:
    """With a name and own words on pack J, a set, a charge and a reading, both an hour east of Greenwich."""
    garage = with_history(session)
    pack = session.get(Pack, garage.packs["J"])
    pack.name, pack.own_values, pack.notes, pack.damage = "blue", '{"1": "soft case"}', "from the swap", "a dent"
    session.add(PackSet(name="Pair", wiring="series", created_at=NOW.utc))
    charge = PackLog(
        pack_id=pack.id, kind="charge", at=at("05-01").utc, offset_min=60, note="slowly", created_at=NOW.utc
    )
    session.add(charge)
    add_reading(session, pack.id, reading_form([2.0, 2.1, 2.2], at("05-02")), NOW)
    session.flush()
    reading = session.exec(select(PackReading)).one()
    reading.offset_min, reading.note = 60, "on the bench"
    session.flush()
    return garage


def test_a_pack_is_found_and_lies_on_the_shelf(session, garage):
    first, second, *_ = told(session, PACK)
    assert (first["title"], first["called"], first["url"], first["place"]) == (
        "J · blue, 3S",
        "J blue",
        "/packs/1",
        "/packs/1",
    )
    assert (second["title"], second["called"], second["aside"], second["in_use"]) == ("K, 3S", "K", 0, 1)
    assert all(words in first["text"] for words in ("soft case", "from the swap", "a dent")) and "J" in first["found"]
    assert (PACK.shelved, PACK.found.code, PACK.takes.thing, PACK.binned) == ("'Pack ' || t.code", "code", "pack", None)
    session.get(Pack, garage.packs["K"]).retired_on = "2026-05-01"
    session.flush()
    assert [(one["aside"], one["in_use"]) for one in told(session, PACK)] == [(0, 1), (1, 0), (0, 1)]


def test_a_set_stands_in_the_list_of_sets(session, garage):
    [one] = told(session, PACK_SET)
    assert (one["title"], one["url"], one["aside"], one["found"].strip()) == ("Pair", "/packs/sets", 0, "Pair")
    session.exec(select(PackSet)).one().retired_on = "2026-05-01"
    session.flush()
    assert told(session, PACK_SET)[0]["aside"] == 1


def test_what_is_in_a_log_comes_back_but_the_discharge_of_a_run_only_with_its_run(session, garage):
    *runs, charge = told(session, PACK_LOG)
    number = len(runs) + 1
    assert charge | {"text": charge["text"].strip(), "found": ""} == {
        "title": "Pack J, charge", "called": "", "url": "/packs/1", "place": "/packs/1", "aside": 0, "in_use": 1,
        "at": "2026-05-01T10:00:00Z", "offset_min": 60, "found": "", "text": "slowly", "bin": "J, charge of 2026-05-01",
        "bin_url": "/packs/1/log", "back": f"/packs/1/log/{number}/return", "only": 1,
    }  # fmt: skip
    assert runs and not any(one["only"] for one in runs)
    session.get(PackLog, number).set_aside_at = NOW.utc
    session.flush()
    assert [one["aside"] for one in told(session, PACK_LOG)] == [0] * len(runs) + [1]


def test_a_reading_is_found_and_comes_back(session, garage):
    [one] = told(session, PACK_READING)
    assert (one["title"], one["url"], one["at"], one["offset_min"]) == (
        "Pack J, resistance", "/packs/1", "2026-05-02T10:00:00Z", 60,
    )  # fmt: skip
    assert (one["bin"], one["bin_url"], one["back"], one["only"], one["aside"]) == (
        "J, reading of 2026-05-02", "/packs/1/readings", "/packs/1/readings/1/return", 1, 0,
    )  # fmt: skip
    assert "on the bench" in one["text"] and PACK_READING.binned.kind == "resistance reading"
    session.exec(select(PackReading)).one().set_aside_at = NOW.utc
    session.flush()
    assert told(session, PACK_READING)[0]["aside"] == 1


def test_each_kind_has_its_span_of_rows_in_the_full_text_for_good():
    found = [(one.name, one.found.kind, one.found.number, one.found.heading) for one in THINGS]
    assert found == [
        ("pack", "pack", 8, "Packs"), ("pack set", "set", 18, "Sets of packs"),
        ("pack log", "pack log", 20, "Pack log"), ("pack reading", "pack reading", 21, "Resistance readings"),
    ]  # fmt: skip


def test_what_may_stand_behind_the_question_mark_is_said():
    assert {name for names in asked_for(log_pages).values() for name in names} == {"until", "kind"}
    assert {name for names in asked_for(many_pages).values() for name in names} == {"kind"}
    assert {name for names in asked_for(ageing_pages).values() for name in names} == {"by"}
