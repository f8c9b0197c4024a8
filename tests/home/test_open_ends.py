"""What was left open is named with how long it has been so, and can be answered from where it is named."""

import pytest
from sqlmodel import select

from garage.findings.store import ask, decide
from garage.findings.tables import FindingDecision, FindingResult
from garage.home.pack_attention import READ_EVERY
from garage.home.wants import COULD_BE_DONE, WAITS
from garage.moments import Moment, age_words
from garage.packs.tables import PackReading
from garage.runs.form_data import IncidentFormData
from garage.runs.tables import Run
from garage.waters.tables import Outing
from tests.seeded import NOW, Garage, at, with_history


@pytest.fixture
def garage(session) -> Garage:
    return with_history(session)


def wants(client) -> list[dict]:
    return client.get("/wants.json").json()["rows"]


def test_ages_are_told_in_days_of_the_calendar():
    evening = Moment("2026-05-09T22:30:00Z", 120)
    assert [age_words(Moment(f"2026-05-{day}T23:00:00Z", 0), evening) for day in ("09", "08", "07", "10")] == [
        "since yesterday", "for 2 days", "for 3 days", "since today"
    ]  # fmt: skip


def test_outings_of_past_days_stand_oldest_first_and_are_closed_together_after_a_look(client, session, garage):
    today = garage.outing("05-09")
    garage.run(today, at("05-09", "10:00"))
    session.commit()
    every = session.exec(select(Outing).order_by(Outing.started_at))
    past = [(day.id, day.started_at) for day in every if day.id != today]
    session.rollback()
    ids, rows = [one for one, _ in past], wants(client)
    named = [row for row in rows if "still open" in row["text"]]
    assert named[0]["about"] == f"{len(past)} outings of past days" and named[0]["address"] == "/outings/open"
    assert [row["button"][0] for row in named[1:]] == [f"/outings/{one}/close" for one in (*ids, today)]
    assert named[1]["text"].endswith(age_words(Moment(past[0][1], 0), NOW)) and named[0]["rank"] == WAITS
    sheet = client.get("/outings/open.json").json()
    numbers = "-".join(str(one) for one in ids)
    assert [row["id"] for row in sheet["rows"]] == ids, "today's is not over"
    assert f'action="/outings/many/{numbers}/close"' in client.get("/outings/open").text
    answer = client.post(f"/outings/many/{numbers}/close")
    assert f"{len(past)} outings are closed" in answer.text
    assert {day.id for day in session.exec(select(Outing).where(Outing.closed_at.is_(None)))} == {today}
    assert session.exec(select(FindingResult)).first() is not None, "findings are judged then"
    session.rollback()
    assert not any("of past days" in row["about"] for row in wants(client))
    assert "No outing of a past day is open" in client.get("/outings/open").text
    client.post(f"/outings/many/{numbers}/reopen")
    assert len(client.get("/outings/open.json").json()["rows"]) == len(past)
    assert client.post("/outings/many/one-two/close").status_code == 404


def test_a_question_that_is_settled_asks_to_be_decided_until_it_is(client, session, garage):
    asked = ask(session, garage.hulls["Medlar"], "change", str(garage.modifications["Trim tabs"]), NOW)
    figures = {"ln": 0.03, "low_ln": 0.02, "high_ln": 0.04, "chance": 0.99, "wide_chance": 0.99, "runs": 9}
    day = garage.outings[0]
    session.add(FindingResult(finding_id=asked.id, outing_id=day, at=at("05-01").utc, verdict="gain", **figures))
    session.commit()
    [row] = [row for row in wants(client) if "nobody said what is done" in row["text"]]
    assert row["rank"] == COULD_BE_DONE and row["address"] == f"/findings/{asked.id}" and "for 8 days" in row["text"]
    decide(session, FindingDecision(finding_id=asked.id, kind="leave on", at=NOW.utc))
    session.commit()
    assert not any("nobody said what is done" in row["text"] for row in wants(client))


def test_a_speed_beside_a_flip_is_asked_about_until_somebody_says_whether_it_counts(client, session, garage):
    day = garage.outing("05-04")
    run = garage.run(day, at("05-04", "10:00"), incidents=[IncidentFormData("flip")])
    garage.run(day, at("05-04", "10:30"), incidents=[IncidentFormData("flip", spoiled_speed=True)])
    garage.run(day, at("05-04", "11:00"), incidents=[IncidentFormData("hook")])
    session.commit()
    [row] = [row for row in wants(client) if "counts" in row["text"]]
    assert row["address"] == f"/runs/{run.id}" and row["text"].startswith("flip in it, for 5 days")
    session.get(Run, run.id).speed_counts = "counts"
    session.commit()
    assert not any("counts" in row["text"] for row in wants(client))


def test_resistance_is_not_asked_of_who_never_reads_it(client, session, garage):
    third = garage.outing("04-20")
    for number in range(READ_EVERY):
        garage.run(third, at("04-20", f"1{number // 6}:{number % 6}0"))
    told = {"method": "charger DC step", "at": NOW.utc, "cells_mohm": "[2, 2, 2]", "created_at": NOW.utc}
    session.add(PackReading(pack_id=garage.packs["K"], **told))
    session.commit()
    assert any("resistance never read" in row["text"] for row in wants(client))
    client.post("/preferences/instruments", data={"never_resistance": "yes"})
    assert not any("resistance never read" in row["text"] for row in wants(client))
    client.post("/preferences/instruments", data={})
    assert any("resistance never read" in row["text"] for row in wants(client))
