"""What the room tells of runs, incidents and temperatures, for search, bin and whatever is attached to them."""

import pytest
from sqlmodel import Session, select

from garage.runs.next.pages import pages as next_pages
from garage.runs.pages import pages
from garage.runs.tables import Incident, Run, RunTemperature
from garage.runs.things import INCIDENT, RUN, TEMPERATURE, THINGS
from tests.seeded import NOW, with_history
from tests.told_things import asked_for, told


@pytest.fixture
def run(session: Session) -> Run:
    """A run an hour east of Greenwich, with an incident and a temperature."""
    with_history(session)
    found = session.exec(select(Run)).all()[0]
    found.offset_min, found.own_values = 60, '{"1": "much weed", "2": 3}'
    reading = {"spot": "motor end bell", "temperature_c": 60.0, "note": "by finger"}
    session.add(RunTemperature(run_id=found.id, position=0, **reading))
    session.add(Incident(run_id=found.id, kind="prop strike", note="at the far buoy", created_at=NOW.utc))
    session.flush()
    return found


def test_a_run_is_found_and_comes_back(session, run):
    first, *_ = told(session, RUN)
    assert first | {"text": first["text"].split()} == {
        "title": "Run 1, Medlar", "called": "run 1 of 2026-03-22, Medlar", "url": "/runs/1", "place": "/runs/1",
        "aside": 0, "in_use": 1, "at": "2026-03-22T10:10:00Z", "offset_min": 60, "found": "run 1",
        "text": ["wet,", "planted", "much", "weed"], "bin": "run 1 of 2026-03-22, Medlar", "bin_url": "/runs/1",
        "back": "/runs/1/bring-back", "only": 1,
    }  # fmt: skip
    run.set_aside_at, run.set_aside_reason = NOW.utc, "wrong boat"
    session.flush()
    first, second, *_ = told(session, RUN)
    assert (first["aside"], first["in_use"], second["aside"], second["in_use"]) == (1, 0, 0, 1)
    assert "wrong boat" in first["text"] and RUN.takes.thing == "run" and "Note" in RUN.takes.labels


def test_what_happened_in_a_run_is_found_and_comes_back(session, run):
    *_, last = told(session, INCIDENT)
    assert last | {"text": last["text"].strip()} == {
        "title": "prop strike in run 1, Medlar", "called": "", "url": "/runs/1", "place": "/runs/1", "aside": 0,
        "in_use": 1, "at": "2026-03-22T10:10:00Z", "offset_min": 60, "found": "prop strike", "text": "at the far buoy",
        "bin": "prop strike in run 1 of 2026-03-22", "bin_url": "/runs/1", "back": "/runs/1/incidents/2/bring-back",
        "only": 1,
    }  # fmt: skip
    session.exec(select(Incident)).all()[-1].set_aside_at = NOW.utc
    session.flush()
    assert [one["aside"] for one in told(session, INCIDENT)] == [0, 1]


def test_a_temperature_goes_out_of_search_with_its_run(session, run):
    [one] = told(session, TEMPERATURE)
    assert (one["title"], one["url"], one["at"], one["offset_min"], one["aside"], one["found"]) == (
        "motor end bell after run 1, Medlar", "/runs/1", "2026-03-22T10:10:00Z", 60, 0, "",
    )  # fmt: skip
    assert "by finger" in one["text"] and TEMPERATURE.binned is None
    run.set_aside_at = NOW.utc
    session.flush()
    assert told(session, TEMPERATURE)[0]["aside"] == 1


def test_each_kind_has_its_span_of_rows_in_the_full_text_for_good():
    found = [(one.name, one.found.kind, one.found.number, one.found.heading) for one in THINGS]
    assert found == [
        ("run", "run", 12, "Runs"), ("incident", "incident", 13, "Incidents"),
        ("temperature", "temperature", 22, "Temperatures after runs"),
    ]  # fmt: skip


def test_what_may_stand_behind_the_question_mark_is_said():
    assert asked_for(pages) == {
        "/runs.json": {"hull"}, "/runs.csv": {"hull"}, "/runs/new.json": {"hull", "outing"},
    }  # fmt: skip
    assert {name for names in asked_for(next_pages).values() for name in names} == {"done"}
