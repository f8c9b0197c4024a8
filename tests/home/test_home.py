"""Home says what wants attention, what fell, what is next, and teaches an empty garage its first moves."""

import pytest
from sqlmodel import select

from garage.findings.store import ask
from garage.findings.tables import FindingResult
from garage.home.pack_attention import READ_EVERY, PackFacts, attention
from garage.home.wants import COULD_BE_DONE, DANGER, MAY_BE_LOST, WAITS
from garage.logs.tables import LogFile
from garage.packs.tables import Pack, PackLog, PackReading
from garage.runs.tables import DeniedSpeed, Incident, Run
from garage.shelf.tables import Loan, ShelfEntry
from garage.waters.tables import Outing
from tests.seeded import NOW, Garage, at, inventory, with_history


@pytest.fixture
def garage(session) -> Garage:
    return with_history(session)


def home(client):
    return client.get("/home.json").json()


def test_an_empty_garage_is_taught_its_first_moves_and_they_are_ticked_as_they_are_made(client, session):
    page = client.get("/")
    assert page.status_code == 200 and 'href="/hulls/new"' in page.text
    assert [move["done"] for move in home(client)["first_moves"]] == [False] * 4
    inventory(session)
    session.commit()
    assert [move["done"] for move in home(client)["first_moves"]] == [True, True, True, False]


def test_the_two_things_people_open_it_for_stand_at_the_top(client, session, garage):
    session.commit()
    page = client.get("/").text
    under_way = garage.modifications["Long strut"]
    assert 'href="/runs/new"' in page and f'href="/modifications/{under_way}#add"' in page
    assert [(work["title"], work["next_step"]) for work in home(client)["work"]] == [
        ("Long strut", "drill brass sheet")
    ]


def test_the_last_outing_is_shown_with_the_records_that_fell_there(client, session, garage):
    session.commit()
    found = home(client)
    assert [run["speed"]["value"] for run in found["last"]["runs"]] == [83.4, 99.0, 81.0, 70.5]
    assert [(one["run"]["speed"]["value"], one["before"]["value"]) for one in found["fallen"]] == [(83.4, 80.2)]


def test_a_first_speed_a_slower_one_and_one_on_other_cells_beat_nothing(client, session, garage):
    third = garage.outing("04-20")
    garage.run(third, at("04-20", "10:00"), speed_kmh=83.0)
    garage.run(third, at("04-20", "10:20"), pack="L", speed_kmh=95.0)
    garage.run(third, at("04-20", "10:40"), speed_kmh=90.0, ways="one way", course_m=50.0)
    session.commit()
    assert home(client)["fallen"] == []
    garage.run(third, at("04-20", "11:00"), speed_kmh=83.5)
    session.commit()
    assert [one["before"]["value"] for one in home(client)["fallen"]] == [83.4]


def test_packs_breaking_in_or_damaged_are_named(client, session, garage):
    pack = session.get(Pack, garage.packs["J"])
    pack.damage = "puffed"
    session.add(pack)
    session.commit()
    packs = home(client)["packs"]
    assert [pack["text"][0] for pack in packs] == ["J", "K", "L"]
    assert packs[0]["grave"] and "noted as damaged: puffed" in packs[0]["reasons"]
    assert any("breaking in" in reason for reason in packs[1]["reasons"])


def test_a_retired_pack_is_left_in_peace(client, session, garage):
    pack = session.get(Pack, garage.packs["L"])
    pack.retired_on = "2026-05-01"
    session.add(pack)
    session.commit()
    assert "L" not in [pack["text"][0] for pack in home(client)["packs"]]


def test_a_reading_is_asked_for_after_ten_discharges_and_not_after_it_was_taken(client, session, garage):
    third = garage.outing("04-20")
    for number in range(READ_EVERY):
        garage.run(third, at("04-20", f"1{number // 6}:{number % 6}0"))
    session.commit()
    assert "J" not in [pack["text"][0] for pack in home(client)["packs"]], "nobody reads resistance here"

    def read(pack: str) -> None:
        told = {"method": "charger DC step", "at": NOW.utc, "cells_mohm": "[2, 2, 2]", "created_at": NOW.utc}
        session.add(PackReading(pack_id=garage.packs[pack], **told))
        session.commit()

    read("K")
    reasons = {pack["text"][0]: pack["reasons"] for pack in home(client)["packs"]}
    assert any("resistance never read" in reason for reason in reasons["J"])
    read("J")
    assert "J" not in [pack["text"][0] for pack in home(client)["packs"]]


def test_runs_waiting_for_details_lead_to_the_evening_page(client, session, garage):
    session.commit()
    waiting = home(client)["waiting"]
    assert {one["outing_id"] for one in waiting} <= set(garage.outings) and waiting
    assert f'href="/outings/{waiting[0]["outing_id"]}/evening"' in client.get("/").text
    for run in session.exec(select(Run)):
        run.waiting = False
        session.add(run)
    session.commit()
    assert {one["runs"] for one in home(client)["waiting"]} == {0} and "still open" in client.get("/").text
    for outing in session.exec(select(Outing)):
        outing.closed_at = NOW.utc
        session.add(outing)
    session.commit()
    assert home(client)["waiting"] == []


def test_notes_to_sort_service_due_low_shelf_and_lines_to_try_stand_there(client, session, garage):
    session.add(ShelfEntry(owner="prop", owner_id=1, quantity=0, reorder_level=1, low=True))
    third = garage.outing("04-20")
    for minute in (10, 20, 30):
        garage.run(third, at("04-20", f"10:{minute}"))
    session.commit()
    found = home(client)
    assert found["unsorted"] == 1
    assert [one["address"] for one in found["low"]] == ["/props/1"]
    assert any(one["hull"] == "Medlar" for one in found["service"])
    assert [one["text"] for one in found["try_next"]] == ["lead out of the left sponson"]


def test_a_note_is_made_in_one_go(client, session, garage):
    session.commit()
    answer = client.post("/attachments/quick", data={"attach_text": "gusty at the far bank"})
    assert answer.status_code == 200
    assert home(client)["unsorted"] == 2


def test_packs_are_sorted_by_how_grave_it_is():
    def pack(number, standing="in service", damage="", since=0, read=True):
        return PackFacts(number, f"P{number}", standing, f"{standing} (1 of 4)", damage, read, since)

    found = attention([pack(1, since=READ_EVERY), pack(2), pack(3, "breaking in"), pack(4, damage="wet")])
    assert [one.id for one in found] == [4, 3, 1]
    assert [one.grave for one in found] == [True, False, False]


@pytest.mark.parametrize("written", [False, True])
def test_backups_dated_later_than_the_clock_are_named_with_what_to_do(client, app, session, written):
    if written:
        with_history(session)
        session.commit()
    assert home(client)["backups"] == "" and "Backups and the clock" not in client.get("/").text
    backups = app.state.settings.data_dir / "backups"
    backups.mkdir()
    (backups / "garage-daily-20260509T120000Z.zip").touch()
    (backups / "garage-daily-20360209T000000Z.zip").touch()
    page = client.get("/").text
    assert "Backups and the clock" in page and "Nothing at the moment." not in page
    assert "1 backup is dated later than this machine’s clock, which says 2026-05-09" in page
    assert "garage-daily-20360209T000000Z.zip" in page and "garage-daily-20260509T120000Z.zip" not in page
    assert "If the clock is wrong, set it." in page and "never removed" in page


def test_the_last_run_of_a_long_day_stands_at_the_top(client, session, garage):
    third = garage.outing("04-20")
    for minute in range(10, 25):
        last = garage.run(third, at("04-20", f"10:{minute}"), speed_kmh=60.0 + minute)
    session.commit()
    assert home(client)["latest"]["run"]["id"] == last.id and "84.0 km/h" in client.get("/").text


def test_a_speed_that_an_incident_spoiled_is_no_best_of_the_month(client, session, garage):
    third = garage.outing("05-04")
    sound = garage.run(third, at("05-04", "10:00"), speed_kmh=70.0)
    spoiled = garage.run(third, at("05-04", "10:20"), speed_kmh=120.0)
    session.add(Incident(run_id=spoiled.id, kind="flip", spoiled_speed=True, created_at=NOW.utc))
    session.commit()
    assert [one["run"]["id"] for one in home(client)["best_of_month"]] == [sound.id]
    told = client.get(f"/runs/{spoiled.id}").text
    assert "Her best" not in told and "spoiled" in told


def test_every_room_hands_its_wants_over_with_its_rank_and_all_stand_on_one_page(client, app, session, garage):
    (app.state.settings.data_dir / "backups").mkdir()
    (app.state.settings.data_dir / "backups" / "garage-daily-20360209T000000Z.zip").touch()
    session.get(Pack, garage.packs["J"]).damage = "puffed"
    session.get(Pack, garage.packs["L"]).charges_before = 20
    charged = {"kind": "charge", "at": at("05-01").utc, "offset_min": 0, "created_at": NOW.utc}
    session.add(PackLog(pack_id=garage.packs["L"], **charged))
    third = garage.outing("04-20")
    for minute in (10, 20, 30):
        run = garage.run(third, at("04-20", f"10:{minute}"))
    log = LogFile(sha256="a" * 64, name="drive.csv", kind="table", size_bytes=9, course_m=100, created_at=NOW.utc)
    session.add(log)
    session.flush()
    told = {"speed_kmh": run.speed_kmh, "receiver_kmh": 80.0, "places_kmh": 70.0, "is_news": True}
    session.add(DeniedSpeed(run_id=run.id, log_id=log.id, **told))
    asked = ask(session, garage.hulls["Medlar"], "change", str(garage.modifications["Trim tabs"]), NOW)
    figures = {"ln": 0.01, "low_ln": 0.0, "high_ln": 0.02, "chance": 0.9, "wide_chance": 0.9, "runs": 9}
    verdicts = {"verdict": "probably a gain", "verdict_before": "cannot tell yet"}
    session.add(FindingResult(finding_id=asked.id, outing_id=third, at=NOW.utc, **verdicts, **figures))
    session.add(Loan(owner="prop", owner_id=2, lent_to="Rowan", lent_until="2026-05-01", created_at=NOW.utc))
    session.add(ShelfEntry(owner="prop", owner_id=1, quantity=0, reorder_level=1, low=True))
    session.commit()
    rows = client.get("/wants.json").json()["rows"]
    by_rank = {rank: [f"{row['about']}: {row['text']}" for row in rows if row["rank"] == rank] for rank in range(4)}
    assert [row["rank"] for row in rows] == sorted(row["rank"] for row in rows)

    def is_told(rank: int, *words: str) -> bool:
        return any(all(word in line for word in words) for line in by_rank[rank])

    assert is_told(DANGER, "Pack J", "puffed") and is_told(MAY_BE_LOST, "Backups")
    for words in (
        ("20 April 2026", "still open", "3 runs wait"),
        ("Pack L", "Full for 8 days"),
        ("contradicts itself",),
        ("drive.csv", "columns"),
        ("Medlar", "Trim tabs: Probably faster; it was: Cannot tell yet"),
        ("Medlar", "grease"),
        ("lent to Rowan, was due back 1 May 2026",),
    ):
        assert is_told(WAITS, *words), words
    for words in (("Long strut, Medlar", "next: drill brass sheet"), ("1 note", "sort"), ("low on the shelf",)):
        assert is_told(COULD_BE_DONE, *words), words
    page = client.get("/").text
    shown = page.partition("<h2>Wants attention</h2>")[2].partition("</ul>")[0]
    assert shown.count("<li>") == 3 and "puffed" in shown and "Backups" in shown
    assert f'<a href="/wants">{len(rows) - 3} more, none of them urgent</a>' in page
    assert "Trim tabs</a>: +0.0 to +2.0 percent" in page
