"""The last act is taken back from the page that confirms it, while nothing came after it."""

import base64
import json

import httpx
import pytest
from sqlmodel import Session

from garage.db.engine import reading
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
