"""The page of a pack's ageing, the log of several packs at once, and what wrong input is answered with."""

import pytest

GOOD = {"code": "J", "cells_s": "3", "capacity": "4000", "break_in_charges": "0", "mass": "320"}
READING = {"method": "charger DC step", "instrument": "grey one", "temperature": "22", "state_of_charge": "50"}
LONG = "€" * 10_000


def pack(client, **typed):
    return client.post("/packs/new", data=GOOD | typed)


def read(client, day: str, cells: str, **typed):
    return client.post("/packs/1/readings", data=READING | {"cells": cells, "at": f"2026-{day}T19:00"} | typed)


def discharge(client, day: str, **typed):
    return client.post("/packs/1/log", data={"kind": "bench", "at": f"2026-{day}T10:00", "charge": "3000"} | typed)


def worn_pack(client, **typed):
    """Nine readings, two discharges between them, cells that rise by about 3 % from one to the next."""
    pack(client, **typed)
    for number in range(9):
        day = 2 + 3 * number
        ohms = [base * 1.03**number for base in (2.0, 2.1, 2.05)]
        read(client, f"03-{day:02d}", "; ".join(f"{one:.3f}" for one in ohms))
        discharge(client, f"03-{day:02d}", at=f"2026-03-{day:02d}T20:00")
        discharge(client, f"03-{day + 1:02d}")


def test_a_pack_without_readings_says_what_to_do(client):
    pack(client)
    page = client.get("/packs/1/ageing")
    assert page.status_code == 200 and "No reading yet" in page.text and "Not tested yet" in page.text


def test_a_worn_pack_shows_trend_forecast_chart_and_the_table_beside_it(client):
    worn_pack(client)
    sheet, page = client.get("/packs/1/ageing.json").json(), client.get("/packs/1/ageing").text
    first = sheet["cells"][0]
    assert first["reaches"].startswith("at the latest, if it goes on so: discharge")
    assert "on 19 real cells in open data such a line came late for 12 and early for 7" in page
    assert "at the latest, if it goes on so" in page and page.count('role="img"') == 3
    assert first["now"]["low"] < first["now"]["value"] < first["now"]["high"] and "25 °C" in first["now"]["from"]
    assert len(sheet["readings"]) == 9 and sheet["readings"][0]["discharges"] == 16
    assert "common practice" in first["limit"]["from"] and "No end" not in page


def test_ones_own_limit_that_is_reached_is_a_reason_to_retire(client):
    worn_pack(client, limit="2.3")
    sheet = client.get("/packs/1/ageing.json").json()
    assert "at the limit now, as measured" in sheet["cells"][0]["reaches"]
    assert any("your limit" in reason["text"] for reason in sheet["reasons"])
    assert "Reasons to retire it" in client.get("/packs/1/ageing").text


def test_methods_are_never_mixed(client):
    worn_pack(client)
    read(client, "04-20", "1.1; 1.2; 1.1", method="AC 1 kHz", instrument="small meter")
    newest, older = (client.get(f"/packs/1/ageing.json?by={place}").json() for place in (0, 1))
    assert (newest["compared"], older["compared"]) == (1, 9) and len(newest["groups"]) == 2
    for odd in ("7", "-1", "x", "", "9" * 30, "²"):
        assert client.get("/packs/1/ageing", params={"by": odd}).status_code == 200


def test_a_cold_reading_is_kept_and_said_to_be_left_out(client):
    worn_pack(client)
    read(client, "04-20", "4; 4; 4", temperature="-5")
    sheet = client.get("/packs/1/ageing.json").json()
    assert sheet["compared"] == 9 and "too far away" in sheet["left_out"][0]["why"]
    assert len(sheet["readings"]) == 10


def test_resting_volts_stand_in_for_a_state_of_charge_only_after_a_rest(client):
    pack(client)
    read(client, "04-01", "2; 2; 2", state_of_charge="", volts="3.8; 3.8; 3.8", rest="60 min")
    read(client, "04-02", "2; 2; 2", state_of_charge="", volts="3.8; 3.8; 3.8", rest="5 min")
    assert client.get("/packs/1/ageing.json").json()["charge_unknown"] == 1


def test_capacity_tests_tell_what_is_left(client):
    pack(client)
    for day, charge in (("01-02", "4000"), ("02-02", "3800"), ("03-02", "3100")):
        discharge(client, day, kind="capacity", charge=charge)
    sheet = client.get("/packs/1/ageing.json").json()
    assert [round(test["share"]["value"], 1) for test in sheet["tests"]] == [77.5, 95.0, 100.0]
    assert any("capacity is down to 78 %" in reason["text"] for reason in sheet["reasons"])
    assert client.get("/packs/1/log.json").json()["standing"]["discharges"] == 3


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"cells": "0; 2; 2"}, "cells", "Cell 1 at 0 mΩ?"),
        ({"cells": "2; 200; 2"}, "cells", "Cell 2 at 200 mΩ?"),
        ({"cells": "1; 2; 3; 4; 5; 6; 7"}, "cells", "7 figures for a pack of 3S"),
        ({"temperature": "-40"}, "temperature", "at least"),
        ({"volts": "3.8; 5.1; 3.8"}, "volts", "Cell 2 at 5.1 V?"),
        ({"volts": "3.8; 3.8"}, "volts", "2 figures for a pack of 3S"),
        ({"volts": "a; b; c"}, "volts", "not a number"),
    ],
)
def test_a_reading_that_cannot_be_is_answered_and_stays_typed(client, typed, field, said):
    pack(client)
    page = (
        read(client, "04-01", "2; 2; 2", **({"note": "kept as typed"} | typed))
        if "cells" not in typed
        else (
            client.post("/packs/1/readings", data=READING | {"at": "2026-04-01T19:00", "note": "kept as typed"} | typed)
        )
    )
    assert page.status_code == 422 and said in page.text and f'id="e-{field}"' in page.text
    assert "kept as typed" in page.text and all(text in page.text for text in typed.values())


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"charge": "9000"}, "charge", "More than twice what the pack holds"),
        ({"kind": "capacity", "charge": ""}, "charge", "A capacity test is the charge that came out"),
        ({"kind": "look", "volts": ""}, "volts", "This is needed."),
        ({"volts": "5.1; 3.8; 3.8"}, "volts", "Cell 1 at 5.1 V?"),
        ({"temperature": "-40"}, "temperature", "at least"),
    ],
)
def test_a_log_entry_that_cannot_be_is_answered_and_stays_typed(client, typed, field, said):
    pack(client)
    page = discharge(client, "04-01", note="kept as typed", **typed)
    assert page.status_code == 422 and said in page.text and f'id="e-{field}"' in page.text
    assert "kept as typed" in page.text and client.get("/packs/1/log.json").json()["rows"] == []


def test_a_discharge_before_the_purchase_is_kept_and_questioned(client):
    pack(client, bought_on="2026-04-10")
    assert discharge(client, "04-01").status_code == 200
    assert client.get("/packs/1/log.json").json()["rows"][0]["question"] == "before the day it was bought?"
    assert "before the day it was bought?" in client.get("/packs/1/log").text


@pytest.mark.parametrize(("charge", "question"), [("4500", ""), ("7900", "more than the pack holds?")])
def test_a_charge_beyond_what_the_pack_holds_is_kept_and_questioned(client, charge, question):
    pack(client)
    assert discharge(client, "04-01", charge=charge).status_code == 200
    row = client.get("/packs/1/log.json").json()["rows"][0]
    assert row["question"] == question and row["charge"]["value"] == float(charge)


def test_several_packs_are_logged_at_once_and_taken_back_at_once(client):
    pack(client), pack(client, code="K"), pack(client, code="L")
    page = client.post(
        "/packs/log",
        data={"kind": "storage", "at": "2026-05-08T20:00", "p1": "yes", "p3_charge": "1,2 Ah", "note": "all down"},
    )
    assert "Written down for 2 packs: storage charge." in page.text and "/packs/log/1-2/set-aside" in page.text
    logs = {number: client.get(f"/packs/{number}/log.json").json()["rows"] for number in (1, 2, 3)}
    assert [len(rows) for rows in logs.values()] == [1, 0, 1] and logs[3][0]["charge"]["value"] == 1200
    client.post("/packs/log/1-2/set-aside")
    assert client.get("/packs/1/log.json").json()["rows"][0]["set_aside"] is True
    client.post("/packs/log/1-2/return")
    assert client.get("/packs/3/log.json").json()["rows"][0]["set_aside"] is False


@pytest.mark.parametrize("ids", ["9", "1-9", "x", "-", "1" * 40])
def test_entries_that_are_not_there_are_not_set_aside(client, ids):
    pack(client)
    discharge(client, "04-01")
    assert client.post(f"/packs/log/{ids}/set-aside").status_code == 404
    assert client.get("/packs/1/log.json").json()["rows"][0]["set_aside"] is False


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({}, "kind", "Tick the packs"),
        ({"p1_charge": "9000"}, "p1_charge", "More than twice"),
        ({"p1_charge": "many"}, "p1_charge", "not a number"),
        ({"p1_temperature": "151"}, "p1_temperature", "at most"),
        ({"p1_volts": "5.1; 3.8; 3.8"}, "p1_volts", "Cell 1 at 5.1 V?"),
        ({"kind": "look", "p1": "yes"}, "p1_volts", "Write the volts"),
        ({"kind": "look", "p1_volts_1": "3.8", "p1_charge": "900"}, "p1_charge", "moves no charge"),
        ({"kind": "capacity", "p1": "yes"}, "p1_charge", "the charge that came out"),
        ({"p1": "yes", "at": "2026-05-10T20:00"}, "at", "still to come"),
        ({"p1": "yes", "note": LONG}, "note", "at most 1000 fit"),
    ],
)
def test_a_log_of_several_that_cannot_be_writes_nothing_and_loses_nothing(client, typed, field, said):
    pack(client), pack(client, code="K")
    data = (
        {"kind": "storage", "at": "2026-05-08T20:00", "p2_temperature": "31"}
        if typed
        else {"kind": "storage", "at": "2026-05-08T20:00"}
    )
    page = client.post("/packs/log", data=data | typed)
    assert page.status_code == 422 and said in page.text and f'id="e-{field}"' in page.text
    assert "31" in page.text or not typed
    assert all(client.get(f"/packs/{number}/log.json").json()["rows"] == [] for number in (1, 2))


def test_packs_that_were_ticked_are_not_asked_for_again_when_something_else_is_wrong(client):
    pack(client)
    row = {"kind": "storage", "p1": "yes"}
    late = client.post("/packs/log", data=row | {"at": "2026-05-09T23:00"})
    odd = client.post("/packs/log", data={"kind": "storage", "at": "2026-05-09T10:00", "p1_charge": "abc"})
    none = client.post("/packs/log", data={"kind": "storage", "at": "2026-05-09T10:00"})
    assert late.status_code == odd.status_code == none.status_code == 422
    assert "Tick the packs" not in late.text and "Tick the packs" not in odd.text and "Tick the packs" in none.text
    assert 'value="abc"' in odd.text and " checked" in late.text


def test_resting_volts_of_a_reading_are_shown_beside_it(client):
    pack(client)
    read(client, "04-01", "2; 2; 2", volts="3.8; 3.81; 3.8")
    assert "3.80 3.81 3.80 V" in client.get("/packs/1/readings").text
    assert "3.80 3.81 3.80 V" in client.get("/packs/1").text


@pytest.mark.parametrize(
    ("asked", "begins"), [("look", "look"), ("capacity", "capacity"), ("run", "bench"), ("", "bench")]
)
def test_the_form_of_the_log_begins_with_what_led_to_it(client, asked, begins):
    pack(client)
    assert client.get(f"/packs/1/log.json?kind={asked}").json()["values"]["kind"] == begins
    assert "/packs/1/log?kind=capacity" in client.get("/packs/1/ageing").text
