"""Forms of packs: facts, log, readings, damage, sets; and what is said when something is wrong."""

import re

import pytest

GOOD = {"code": "J", "cells_s": "3", "cells_p": "1", "capacity": "4000", "break_in_charges": "4"}
ENTRY = {"kind": "bench", "at": "2026-05-08T10:00", "charge": "3,2 Ah"}
READING = {
    "cells": "2.1; 2.3; 2.2", "method": "charger DC step", "at": "2026-05-08T10:00", "temperature": "22",
    "state_of_charge": "50", "rest": "1 h", "instrument": "bench charger",
}  # fmt: skip
LONG = "€" * 10_000


def pack(client, **typed):
    return client.post("/packs/new", data=GOOD | typed)


def test_a_pack_is_written_down_with_a_letter_of_its_own(client):
    assert client.get("/packs/new.json").json()["code"] == "A"
    assert pack(client, code="A").url.path == "/packs/1"
    assert client.get("/packs/new.json").json()["code"] == "B"
    sheet = client.get("/packs/1.json").json()
    assert sheet["standing"]["flag"] == "fresh" and sheet["facts"]["capacity"]["value"] == 4000


def test_a_used_pack_brings_its_charges_along(client):
    pack(client, charges_before="30")
    assert client.get("/packs/1.json").json()["standing"] == {
        "flag": "in service",
        "text": "broken in",
        "discharges": 30,
    }


def test_the_facts_stand_in_the_form_as_they_were_typed_and_are_saved_unchanged(client):
    pack(client, mass="312", stated_c="60", full_v_per_cell="4.35", bought_on="2026-01-02", notes="a\nb")
    values = client.get("/packs/1/edit.json").json()["values"]
    client.post("/packs/1/edit", data=values)
    assert client.get("/packs/1/edit.json").json()["values"] == values


def test_bench_discharges_count_and_storage_charges_do_not(client):
    pack(client)
    client.post("/packs/1/log", data=ENTRY)
    client.post("/packs/1/log", data=ENTRY | {"kind": "storage"})
    sheet = client.get("/packs/1/log.json").json()
    assert sheet["standing"]["text"] == "breaking in (1 of 4)"
    assert {row["charge"]["value"] for row in sheet["rows"]} == {3200}


@pytest.mark.parametrize("typed", ["soon", "2026-13-01", "2999-01-01"])
def test_a_day_of_counting_that_is_none_is_said_beside_it_and_all_is_counted(client, typed):
    pack(client)
    page = client.get("/packs/1/log", params={"until": typed})
    assert page.status_code == 200
    assert 'id="e-until"' in page.text and "All is counted." in page.text
    assert client.get("/packs/1/log.json", params={"until": "2026-05-01"}).json()["as_of"]["wrong"] == ""


def test_a_log_entry_is_set_aside_and_brought_back(client):
    pack(client)
    page = client.post("/packs/1/log", data=ENTRY)
    assert "/packs/1/log/1/set-aside" in page.text
    client.post("/packs/1/log/1/set-aside")
    assert client.get("/packs/1.json").json()["standing"]["flag"] == "fresh"
    client.post("/packs/1/log/1/return")
    assert client.get("/packs/1.json").json()["standing"]["flag"] == "breaking in"
    pack(client, code="K")
    assert client.post("/packs/2/log/1/set-aside").status_code == 404


def test_readings_by_different_methods_stand_in_different_tables(client):
    pack(client)
    client.post("/packs/1/readings", data=READING)
    client.post("/packs/1/readings", data=READING | {"method": "AC 1 kHz", "cells": "0.9 1 1,1"})
    client.post("/packs/1/readings", data=READING | {"instrument": "logger"})
    groups = client.get("/packs/1/readings.json").json()["groups"]
    assert len(groups) == 3 and all(len(group["readings"]) == 1 for group in groups)
    conditions = groups[0]["readings"][0]
    assert (conditions["temperature"]["value"], conditions["rest"]["value"]) == (22, 60)


def test_a_cell_far_above_the_others_is_named(client):
    pack(client)
    client.post("/packs/1/readings", data=READING | {"cells": "2; 2; 3"})
    page = client.get("/packs/1").text
    assert ">cell 3<" in page and "1.5 times the middle one" in page


def test_damage_is_noted_with_cautions_and_what_was_said_is_kept_when_it_comes_off(client):
    pack(client)
    page = client.post("/packs/1/damage", data={"signs": ["puffed", "wet"], "words": "after the flip"})
    assert "puffed, wet: after the flip" in page.text and "at least 6 hours" in page.text
    assert client.get("/packs/1/damage").text.count(" checked") == 2
    assert client.post("/packs/1/damage", data={}).status_code == 422
    client.post("/packs/1/damage", data={"why": "was the wrapper only"})
    facts = client.get("/packs/1.json").json()["facts"]
    assert facts["damage"] == "" and "puffed, wet: after the flip (was the wrapper only)" in facts["notes"]


def test_what_to_do_with_a_hurt_pack_comes_before_all_else_and_each_word_has_its_source(client):
    pack(client)
    page, sheet = client.get("/packs/1/damage").text, client.get("/packs/1/damage.json").json()
    fire = "It smokes or burns: get away, upwind. Call the fire service."
    orders = [order["hazard"] for order in sheet["orders"]]
    assert len(orders) == 4 and orders[0] == "Do not charge it."
    places = [page.index(words) for words in (f'<h1 class="fire">{fire}</h1>', *orders, '<form class="form"')]
    assert places == sorted(places)
    assert not re.search(r"\d", fire + "".join(orders + [order["text"] for order in sheet["orders"]])), (
        "no hours to read"
    )
    assert all(order["source"] and order["source"] in page for order in (sheet["fire"], *sheet["orders"]))


def test_a_pack_is_retired_with_a_reason_and_comes_back(client):
    pack(client)
    assert client.post("/packs/1/retire", data={}).status_code == 422
    end = {"retired_on": "2026-05-09", "retired_how": "worn out", "retired_reason": "cell 2 is low"}
    page = client.post("/packs/1/retire", data=end)
    assert "cell 2 is low" in page.text and "/packs/1/return" in page.text
    assert client.get("/packs/1.json").json()["standing"]["flag"] == "retired"
    assert client.get("/packs.json").json()["rows"] == []
    assert len(client.get("/packs.json?retired=yes").json()["rows"]) == 1
    client.post("/packs/1/return")
    assert client.get("/packs/1.json").json()["standing"]["flag"] == "fresh"


def test_a_set_names_its_weaker_member_and_can_be_parted(client):
    pack(client), pack(client, code="K", capacity="3600", charges_before="9")
    client.post("/packs/sets", data={"name": "the pair", "wiring": "series", "codes": "j + K"})
    row = client.get("/packs/sets.json").json()["rows"][0]
    assert (row["cells_s"], row["capacity"]["value"], row["flag"]) == (6, 3600, "fresh")
    assert row["weaker"] == ["K: lowest capacity, 3600 mAh stated", "K: most used, 9 discharges"]
    assert "the pair" in client.get("/packs/1").text
    client.post("/packs/sets/1/part")
    assert client.get("/packs/sets.json").json()["rows"] == []
    client.post("/packs/sets/1/return")
    assert len(client.get("/packs/sets.json").json()["rows"]) == 1


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"codes": "J"}, "at least two different packs"),
        ({"codes": "J j"}, "at least two different packs"),
        ({"codes": "J + X"}, "No pack has the code X."),
        ({"codes": "J + M", "wiring": "parallel"}, "never go in parallel"),
        ({"codes": ""}, "This is needed."),
        ({"codes": LONG}, "at most 200 fit"),
        ({"codes": "🚤 + J"}, "No pack has the code 🚤."),
        ({"name": ""}, "This is needed."),
        ({"wiring": "knitted"}, "Choose one from the list."),
    ],
)
def test_a_set_that_cannot_be_is_refused_and_what_was_typed_stays(client, typed, said):
    pack(client), pack(client, code="K"), pack(client, code="M", cells_s="4")
    page = client.post("/packs/sets", data={"name": "my pair", "wiring": "series", "codes": "J + K"} | typed)
    assert page.status_code == 422 and said in page.text
    assert all(text in page.text for text in typed.values() if text != "knitted")


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("code", "", "This is needed."),
        ("code", LONG, "at most 20 fit"),
        ("cells_s", "", "This is needed."),
        ("cells_s", "0", "at least 1"),
        ("cells_s", "99", "at most 14"),
        ("cells_s", "3S", "no unit"),
        ("cells_s", "🚤", "not a number"),
        ("cells_p", "-1", "at least 1"),
        ("capacity", "", "This is needed."),
        ("capacity", "-4000", "at least 50 mAh"),
        ("capacity", "4,000", "Write 4.0 or 4000"),
        ("capacity", "4000 V", "is not understood here"),
        ("capacity", "900 Ah", "at most 50"),
        ("capacity_measured", "40000", "More than half again"),
        ("stated_c", "10 000", "at most 500"),
        ("full_v_per_cell", "12,6 V", "at most 4.5"),
        ("mass", "0.2 g", "at least 1 g"),
        ("charges_before", "1.5", "whole number"),
        ("charges_before", "-3", "at least 0"),
        ("break_in_charges", "500", "at most 50"),
        ("break_in_c", "gentle", "not a number"),
        ("bought_on", "2026-05-10", "still to come"),
        ("first_charged_on", "2026-02-30", "is not a date"),
        ("first_charged_on", "2024-01-01", "before the day it was bought"),
        ("notes", LONG, "at most 5000 fit"),
    ],
)
def test_wrong_input_is_answered_beside_its_field_and_nothing_is_lost(client, field, typed, said):
    page = pack(client, **{"bought_on": "2025-01-01", "connector": "kept as typed", field: typed})
    assert page.status_code == 422 and "Traceback" not in page.text
    assert said in page.text and f'id="e-{field}"' in page.text and "kept as typed" in page.text
    assert client.get("/packs.json").json()["rows"] == []


def test_a_taken_code_is_refused(client):
    pack(client)
    page = pack(client, code="j", connector="kept as typed")
    assert page.status_code == 422 and "There is a pack J already." in page.text and "kept as typed" in page.text


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"cells": ""}, "cells", "This is needed."),
        ({"cells": "2.1; 2.3"}, "cells", "2 figures for a pack of 3S"),
        ({"cells": "2.1"}, "cells", "One figure for a pack of 3S"),
        ({"cells": "2.1; 0; 2.2"}, "cells", "Cell 2 at 0 mΩ?"),
        ({"cells": "2.1; 200; 2.2"}, "cells", "Cell 2 at 200 mΩ?"),
        ({"cells": "-1; -1; -1"}, "cells", "Cell 1 at -1 mΩ?"),
        ({"cells": "a; b; c"}, "cells", "not a number"),
        ({"cells": "2 V; 2 V; 2 V"}, "cells", "is not understood here"),
        ({"cells": "🚤"}, "cells", "One figure"),
        ({"cells": LONG}, "cells", "at most 300 fit"),
        ({"method": ""}, "method", "Choose one."),
        ({"temperature": "500"}, "temperature", "at most 90"),
        ({"state_of_charge": "120"}, "state_of_charge", "at most 100"),
        ({"rest": "-5"}, "rest", "at least 0"),
        ({"at": "2026-05-09T15:30"}, "at", "still to come"),
        ({"instrument": LONG}, "instrument", "at most 80 fit"),
        ({"note": LONG}, "note", "at most 1000 fit"),
    ],
)
def test_a_reading_that_cannot_be_is_answered_beside_its_field(client, typed, field, said):
    pack(client)
    page = client.post("/packs/1/readings", data=READING | typed)
    assert page.status_code == 422 and said in page.text and f'id="e-{field}"' in page.text
    assert all(text in page.text for text in typed.values())
    assert client.get("/packs/1/readings.json").json()["rows"] == []


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"kind": "run"}, "kind", "Choose one from the list."),
        ({"kind": ""}, "kind", "Choose one."),
        ({"at": ""}, "at", "This is needed."),
        ({"at": "yesterday"}, "at", "is not a date and time"),
        ({"at": "2026-05-10T10:00"}, "at", "still to come"),
        ({"charge": "-3"}, "charge", "at least 1 mAh"),
        ({"charge": "3 km"}, "charge", "is not understood here"),
        ({"current": "0"}, "current", "at least 0.01 A"),
        ({"temperature": "900"}, "temperature", "at most 150"),
        ({"note": LONG}, "note", "at most 1000 fit"),
    ],
)
def test_a_log_entry_that_cannot_be_is_answered_beside_its_field(client, typed, field, said):
    pack(client)
    page = client.post("/packs/1/log", data=ENTRY | typed)
    assert page.status_code == 422 and said in page.text and f'id="e-{field}"' in page.text
    assert client.get("/packs/1/log.json").json()["rows"] == []


@pytest.mark.parametrize("typed", [{"signs": ["haunted"]}, {"words": LONG}, {}])
def test_a_damage_note_that_cannot_be_is_refused(client, typed):
    pack(client)
    assert client.post("/packs/1/damage", data=typed).status_code == 422
    assert client.get("/packs/1.json").json()["facts"]["damage"] == ""


def test_there_is_no_page_for_a_pack_that_is_not_there(client):
    for path in (
        "/packs/9",
        "/packs/9/edit",
        "/packs/9/log",
        "/packs/9/readings",
        "/packs/9/damage",
        "/packs/9.json",
    ):
        assert client.get(path).status_code == 404
    for path in ("/packs/9/log", "/packs/9/readings"):
        assert client.post(path, data=ENTRY | READING).status_code == 404
    assert client.post("/packs/sets/9/part").status_code == 404
