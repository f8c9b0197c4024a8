"""The last act is taken back from the page that confirms it, while nothing came after it."""

import base64
import json

import httpx
import pytest
from sqlmodel import Session

from garage.db.engine import reading
from garage.db.last_action import watched
from garage.hulls.tables import Hull
from tests.durability.conftest import picture
from tests.seeded import with_history


@pytest.fixture
def garage(session: Session):
    made = with_history(session)
    session.commit()
    return made


def _all_rows(app) -> dict[str, list]:
    """Everything written, but for the acts themselves."""
    with reading(app.state.engine) as session:
        connection = session.connection()
        names = connection.exec_driver_sql("SELECT name FROM sqlite_master WHERE type = 'table'").scalars().all()
        return {
            name: [tuple(row) for row in connection.exec_driver_sql(f'SELECT * FROM "{name}"')]
            for name in names
            if name not in ("last_act", "sqlite_stat1") and not name.startswith("search_text_")
        }


def _undo_of(answer: httpx.Response) -> str:
    """The address of the button on the page that confirms the act."""
    packed = answer.cookies.get("garage_notice")
    return json.loads(base64.urlsafe_b64decode(packed.strip('"')))[1] if packed else ""


ACTS = {
    "a hull": ("/hulls/new", {"name": "Teal", "kind": "mono", "screws": "1"}),
    "a hull's facts": ("/hulls/1/edit", {"name": "Medlar II", "kind": "mono", "screws": "1", "length": "700"}),
    "a pack": ("/packs/new", {"code": "Z", "cells_s": "3", "cells_p": "1", "capacity": "4000"}),
    "a prop": ("/props/new", {"code": "P9", "size": "42 x 58", "blades": "2", "hand": "right", "condition": "good"}),
    "a part": ("/drives/new?kind=motor", {"code": "M9", "kind": "motor", "name": "red can"}),
    "a supply": ("/stock/supplies/new", {"code": "S1", "name": "epoxy"}),
    "a water": ("/waters/new", {"name": "Long Water"}),
    "a water's rules": ("/waters/1", {"name": "Hollow Mere", "hours": "9 to 12"}),
    "a modification": ("/hulls/1/modifications/new", {"title": "Ride pads", "permanence": "removable"}),
}


@pytest.mark.parametrize("what", ACTS)
def test_what_was_just_written_is_taken_back_and_everything_is_as_before(app, client, garage, what: str):
    address, data = ACTS[what]
    before = _all_rows(app)
    answer = client.post(address, data=data, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    assert _all_rows(app) != before
    undo = _undo_of(answer)
    assert undo
    page = client.post(undo)
    assert page.status_code == 200 and "aken" in page.text
    after = _all_rows(app)
    assert {name: rows for name, rows in after.items() if rows != before[name]} == {}


def test_nothing_is_taken_back_once_something_came_after_it(app, client, garage):
    undo = _undo_of(client.post("/hulls/new", data=ACTS["a hull"][1], follow_redirects=False))
    client.post("/waters/new", data={"name": "Long Water"})
    before = _all_rows(app)
    answer = client.post(undo)
    assert answer.status_code == 409 and "Something was written since" in answer.text
    assert _all_rows(app) == before


def test_it_is_taken_back_once(app, client, garage):
    undo = _undo_of(client.post("/hulls/new", data=ACTS["a hull"][1], follow_redirects=False))
    assert client.post(undo).status_code == 200
    assert client.post(undo).status_code == 409
    assert client.post("/undo/999").status_code == 404


def test_a_refused_form_leaves_the_last_act_as_it_was(app, client, garage):
    undo = _undo_of(client.post("/hulls/new", data=ACTS["a hull"][1], follow_redirects=False))
    assert client.post("/hulls/new", data={"name": ""}).status_code == 422
    assert client.post(undo).status_code == 200


def test_few_acts_are_remembered(app, client):
    for number in range(60):
        client.post("/waters/new", data={"name": f"Water {number}"})
    with reading(app.state.engine) as session:
        assert session.connection().exec_driver_sql("SELECT count(*) FROM last_act").scalar() == 50


@pytest.mark.parametrize("address", [address for address, _ in ACTS.values() if "/new" in address])
def test_there_is_a_page_to_go_to_once_something_new_was_taken_back(client, garage, address: str):
    assert client.get(address.partition("/new")[0]).status_code == 200


def _values(client: httpx.Client, address: str) -> dict[str, str]:
    """What stands in the form at `address`."""
    return {name: text for name, text in client.get(address + ".json").json()["values"].items() if text}


# What is mended in the open: the earlier figures come back, and the list of what was mended only grows.
MENDED = {
    "a setting of a build state": ("/hulls/1/states/2/mend", {"what": "set:strut_height@single", "new": "13 mm"}),
    "a step that runs rest on": ("/steps/2/mend", {"length": "61 mm"}),
    "a run": ("/runs/1/edit", {"speed": "81.5 km/h", "note": "dry"}),
    "an outing": ("/outings/1/edit", {"air": "12 °C"}),
    "an edition of a prop": ("/props/1/editions/1/mend", {"diameter": "45 mm"}),
}


@pytest.mark.parametrize("what", MENDED)
def test_what_was_mended_is_taken_back_by_a_further_line(app, client, garage, what: str):
    address, data = MENDED[what]
    pages = ["/hulls/1/states/2.json", "/steps/2.json", "/runs/1.json", "/outings/1.json", "/props/1.json"]
    before = _all_rows(app)
    read_before = [_without_slips(client.get(page).json()) for page in pages]
    answer = client.post(address, data=_values(client, address) | {"why": "misread"} | data, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    assert [_without_slips(client.get(page).json()) for page in pages] != read_before
    undo = _undo_of(answer)
    assert undo
    assert client.post(undo).status_code == 200
    after = _all_rows(app)
    lines, answers = after["correction"][: len(after["correction"]) // 2], after["correction"][::-1]
    assert len(after["correction"]) % 2 == 0 and lines
    # id, owner, owner_id, field, old, new, why, at
    assert [(row[1:4], row[4], row[5]) for row in lines] == [
        (row[1:4], row[5], row[4]) for row in answers[: len(lines)]
    ]
    assert {row[6] for row in answers[: len(lines)]} == {"taken back"}
    changed = {name: rows for name, rows in after.items() if sorted(rows, key=repr) != sorted(before[name], key=repr)}
    assert set(changed) - {"search_text"} == {"correction"}
    assert [_without_slips(client.get(page).json()) for page in pages] == read_before


_SLIPS = ("mended", "corrections", "note_mended")


def _without_slips(told):
    """A sheet without its lists of what was mended."""
    if isinstance(told, dict):
        return {name: _without_slips(value) for name, value in told.items() if name not in _SLIPS}
    return [_without_slips(value) for value in told] if isinstance(told, list) else told


def test_units_are_as_before_once_their_choice_is_taken_back(app, client, garage):
    before = app.state.units
    undo = _undo_of(client.post("/preferences/imperial", follow_redirects=False))
    assert "mph" in client.get("/runs/1").text
    assert client.post(undo).status_code == 200
    assert "mph" not in client.get("/runs/1").text
    assert app.state.units == before


def test_pictures_just_attached_are_set_aside_and_wait_in_the_bin(app, client, garage):
    files = [("attach_files", (f"{seed}.png", picture(seed), "image/png")) for seed in (1, 2)]
    answer = client.post("/attachments/run/1", files=files, data={"attach_text": "two"}, follow_redirects=False)
    assert answer.status_code == 303
    assert client.post(_undo_of(answer)).status_code == 200
    assert client.get("/attachments/run/1.json").json()["attached"]["items"] == []
    aside = [row for row in client.get("/bin.json").json()["rows"] if row["kind"] == "note or file"]
    assert len(aside) == 2
    assert client.post(aside[0]["back"]).status_code == 200
    assert len(client.get("/attachments/run/1.json").json()["attached"]["items"]) == 1


GPX = '<gpx version="1.1"><trk><trkseg>{}</trkseg></trk></gpx>'


def _gpx(shift: int) -> bytes:
    points = (
        f'<trkpt lat="59.{1000000 + shift + number * 100}" lon="18.0">'
        f"<time>2026-03-22T10:10:{number:02d}Z</time></trkpt>"
        for number in range(50)
    )
    return GPX.format("".join(points)).encode()


def test_recordings_just_brought_are_set_aside_and_brought_back_as_one(client, garage):
    files = [("log_files", (f"{shift}.gpx", _gpx(shift), "text/xml")) for shift in (1, 2)]
    answer = client.post("/outings/1/logs", files=files, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    assert len(client.get("/logs.json").json()["rows"]) == 2
    taken_back = client.post(_undo_of(answer), follow_redirects=False)
    assert client.get("/logs.json").json()["rows"] == []
    assert client.post(_undo_of(taken_back)).status_code == 200
    assert len(client.get("/logs.json").json()["rows"]) == 2
    for bad in ("", "x", "1-x", "999", "-".join(["1"] * 50)):
        assert client.post(f"/logs/many/{bad}/aside").status_code in (404, 405)


def test_a_run_moved_to_another_state_is_moved_back_and_the_ledger_keeps_both(app, client, garage):
    answer = client.post("/runs/1/pin", data={"state": "3", "pin_why": "the tabs were on"}, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    before = client.get("/runs/1.json").json()
    back = client.post(_undo_of(answer), follow_redirects=False)
    assert back.status_code == 303
    with reading(app.state.engine) as session:
        connection = session.connection()
        moves = connection.exec_driver_sql("SELECT from_value, to_value FROM run_move ORDER BY id").all()
        assert [tuple(move) for move in moves] == [("2", "3"), ("3", "2")]
        assert connection.exec_driver_sql("SELECT state_id FROM run WHERE id = 1").scalar() == 2
    assert client.post(_undo_of(back)).status_code == 200
    assert client.get("/runs/1.json").json()["line"] == before["line"]
    assert client.post("/runs/2/pin/back").status_code == 409


def test_assumptions_that_were_put_back_to_the_usual_ones_are_taken_back(app, client, garage):
    values = _values(client, "/findings/assumptions") | {"pass_sd_sd": "0.07"}
    assert client.post("/findings/assumptions", data=values, follow_redirects=False).status_code == 303
    before = _all_rows(app)
    undo = _undo_of(client.post("/findings/assumptions/usual", follow_redirects=False))
    assert _all_rows(app) != before
    assert client.post(undo).status_code == 200
    assert _all_rows(app) == before


def test_a_spreadsheet_just_brought_is_gone_again_while_nothing_came_of_it(app, client, garage):
    before = _all_rows(app)
    files = {"sheet": ("a.csv", b"Date;Boat\n2026-03-20;Medlar\n", "text/csv")}
    answer = client.post("/import", files=files, follow_redirects=False)
    assert answer.status_code == 303
    page = client.post(_undo_of(answer))
    assert page.status_code == 200 and page.url.path == "/import"
    assert _all_rows(app) == before


def test_a_choice_made_and_unmade_within_one_act_leaves_nothing_to_take_back_wrongly(session):
    with watched(session) as seen:
        row = Hull(name="Teal", kind="mono", created_at="2026-05-09T10:00:00Z")
        session.add(row)
        session.flush()
        session.delete(row)
        session.flush()
    assert seen.added == seen.removed == []


def test_what_was_rolled_back_within_an_act_is_not_offered_to_be_taken_back(session):
    with watched(session) as seen:
        inner = session.begin_nested()
        session.add(Hull(name="Teal", kind="mono", created_at="2026-05-09T10:00:00Z"))
        session.flush()
        inner.rollback()
    assert not seen.can_be_taken_back
