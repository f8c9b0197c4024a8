"""What is far from usual is asked about before it is kept, once, and each answer is one button."""

import html
import re

import pytest

from garage.db.engine import reading, writing
from garage.moments import Moment
from garage.runs.store import incidents_of
from garage.runs.tables import Run, RunPack
from tests.runs.conftest import make_world

SPEEDS = (51.0, 52.5, 53.0, 54.0, 55.5, 56.0)


@pytest.fixture
def ids(app) -> dict[str, int]:
    with writing(app.state.engine) as session:
        world = make_world(session)
        for hour, speed in enumerate(SPEEDS, 6):
            world.run("J", started=Moment(f"2026-05-09T{hour:02}:00:00Z", 0), speed_kmh=speed)
        last = world.run("J", started=Moment("2026-05-09T12:30:00Z", 0), speed_kmh=None).id
        return {"hull": world.medlar, "outing": world.outing, "run": last} | world.packs


def _form(ids, **typed) -> dict[str, str]:
    told = {"hull": ids["hull"], "outing": ids["outing"], "pack": ids["J"], "speed_how": "display", "ways": "one way"}
    return {name: str(text) for name, text in (told | {"kind": "speed"} | typed).items()}


def _buttons(page: str) -> dict[str, str]:
    found = re.findall(r'name="answer" value="([^"]*)">([^<]*)<', page)
    return {html.unescape(text): html.unescape(sends) for sends, text in found}


def _newest(app) -> Run:
    with reading(app.state.engine) as session:
        return session.get(Run, max(session.exec(Run.__table__.select()).scalars()))


def test_a_speed_in_another_unit_is_asked_about_and_saved_with_one_tap(app, client, ids):
    asked = client.post("/runs/new", data=_form(ids, speed="33.9"))
    assert asked.status_code == 422 and "she does" in asked.text and 'value="33.9"' in asked.text
    assert "Not saved yet" not in asked.text
    answers = _buttons(asked.text)
    (mph,) = [sends for text, sends in answers.items() if "mph" in text and "54.6" in text]
    assert client.post("/runs/new", data=_form(ids, speed="33.9", answer=mph)).status_code == 200
    assert _newest(app).speed_kmh == pytest.approx(54.557, abs=0.01)


@pytest.mark.parametrize(("button", "kinds"), [("A flip", ["flip"]), ("Weed", ["other"]), ("Keep it all the same", [])])
def test_a_slow_speed_is_kept_with_what_happened_or_as_it_is(app, client, ids, button, kinds):
    form = _form(ids, speed="20")
    sends = _buttons(client.post("/runs/new", data=form).text)[button]
    answer = client.post("/runs/new", data=form | {"answer": sends})
    run = _newest(app)
    assert answer.status_code == 200 and run.speed_kmh == 20.0
    assert ("does this speed count?" in answer.text) == bool(kinds)
    with reading(app.state.engine) as session:
        assert [one.kind for one in incidents_of(session, [run.id])[run.id]] == kinds


def test_the_usual_speed_and_what_stands_already_are_not_asked_about(client, ids):
    assert client.post("/runs/new", data=_form(ids, speed="53")).status_code == 200


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"pack1_rested": "10.8"}, "3.60 V a cell"),
        ({"pack1_volts": "8.4"}, "2.80 V a cell after the run"),
        ({"pack1_charge": "4500"}, "the pack holds"),
        ({"t1_spot": "motor end bell", "t1_temperature": "140"}, "It was °F"),
        ({"pack": "", "pack_code": "J + K", "wiring": "series"}, "she ran on 3S till now"),
    ],
)
def test_each_reading_is_asked_about_and_kept_when_told_so(app, client, ids, typed, words):
    form = _form(ids, speed="53", note="as it was", **typed)
    asked = client.post("/runs/new", data=form)
    assert asked.status_code == 422 and words in html.unescape(asked.text) and "as it was" in asked.text
    keep = list(_buttons(asked.text).values())[-1]
    assert client.post("/runs/new", data=form | {"answer": keep}).status_code == 200
    assert _newest(app).note == "as it was"


def test_two_questions_are_answered_one_after_the_other(app, client, ids):
    form = _form(ids, speed="20", pack1_rested="10.8")
    first = client.post("/runs/new", data=form)
    keeps = [sends for sends in _buttons(first.text).values() if sends.startswith("kept_") and "&" not in sends]
    second = client.post("/runs/new", data=form | {"answer": keeps[0]})
    assert second.status_code == 422
    kept = dict(re.findall(r'name="(kept_[^"]*)" value="([^"]*)"', second.text))
    (last,) = [sends for sends in _buttons(second.text).values() if "&" not in sends]
    assert len(kept) == 1 and client.post("/runs/new", data=form | kept | {"answer": last}).status_code == 200


def test_the_edit_form_and_the_evening_ask_the_same(app, client, ids):
    at = f"/runs/{ids['run']}/edit"
    typed = {"speed": "33.9", "pack_code": "J", "kind": "speed", "speed_how": "display", "ways": "one way"}
    assert "mph" in client.post(at, data=typed).text
    row = f"r{ids['run']}"
    form = {f"{row}_here": "1", f"{row}_speed": "33.9", f"{row}_how": "display", f"{row}_ways": "one way"}
    form |= {f"{row}_clock": "12:30", f"{row}_prop_single": "P1", f"{row}_p{ids['J']}_rested": "12.5"}
    evening = f"/outings/{ids['outing']}/evening"
    asked = client.post(evening, data=form)
    assert asked.status_code == 422
    answer = client.post(evening, data=form | {"answer": _buttons(asked.text)["A flip"]})
    assert answer.status_code == 200 and f'name="{row}_speed_counts"' in answer.text
    with reading(app.state.engine) as session:
        assert session.get(Run, ids["run"]).speed_kmh == 33.9
        assert session.get(RunPack, (ids["run"], ids["J"])).rested_v == 12.5
