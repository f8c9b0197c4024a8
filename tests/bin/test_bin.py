"""The bin: all that was set aside is in it, by its name, and each button brings it back."""

import httpx
import pytest
from sqlalchemy import event

from garage.bin.store import set_aside_things
from garage.hulls.forms import ChecklistFormData
from garage.hulls.store import add_checklist_line
from garage.schema import THINGS
from tests.seeded import with_history


@pytest.fixture
def garage(session):
    made = with_history(session)
    session.commit()
    return made


# What is set aside, by the address that does it, and the kind under which it is then found.
ASIDE = {
    "run": ("/runs/1/set-aside", {"reason": "wrong boat"}),
    "step": ("/steps/4/set-aside", {}),
    "note or file": ("/attachments/1/aside", {}),
    "service": ("/service/1/aside", {}),
    "line of a list": ("/hulls/1/lists/1/remove", {}),
}


def _lines(client: httpx.Client) -> list[dict]:
    return client.get("/bin.json").json()["rows"]


def test_an_empty_bin_says_so(client: httpx.Client):
    assert "Nothing is set aside." in client.get("/bin").text


def test_what_is_set_aside_is_in_the_bin_and_comes_back(client: httpx.Client, garage, session):
    add_checklist_line(session, 1, ChecklistFormData("launch", "look at the hatch"))
    session.commit()
    client.post("/packs/1/log", data={"kind": "bench", "charge": "2000", "at": "2026-05-09T10:00"})
    entry = max(row["id"] for row in client.get("/packs/1/log.json").json()["rows"])
    acts = ASIDE | {"pack log": (f"/packs/1/log/{entry}/set-aside", {})}
    for kind, (address, data) in acts.items():
        assert client.post(address, data=data).status_code == 200, kind
    lines = _lines(client)
    assert sorted(line["kind"] for line in lines) == sorted(acts)
    assert all(line["name"] and line["set_aside_on"] == "9 May 2026" for line in lines)
    for line in lines:
        assert client.get(line["url"]).status_code == 200, line
        assert client.post(line["back"]).status_code == 200, line
        assert line not in _lines(client)
    assert _lines(client) == []


def test_the_discharge_of_a_run_is_not_listed_beside_its_run(client: httpx.Client, garage):
    client.post("/runs/1/set-aside", data={"reason": "x"})
    assert [line["kind"] for line in _lines(client)] == ["run"]


def test_a_long_bin_has_pages_and_the_latest_comes_first(client: httpx.Client, session):
    with_history(session)
    for number in range(120):
        session.connection().exec_driver_sql(
            "INSERT INTO attachment (kind, owner, at, offset_min, text, url, sha256, media_type, set_aside_at,"
            " created_at)"
            f" VALUES ('note', '', '2026-05-01T10:00:00Z', 0, 'note {number}', '', '', '',"
            f" '2026-05-02T10:{number // 60:02d}:{number % 60:02d}Z', '2026-05-01T10:00:00Z')"
        )
    session.commit()
    first, third = client.get("/bin.json").json(), client.get("/bin.json?page=3").json()
    assert first["rows"][0]["name"] == "note note 119" and first["more"] and len(first["rows"]) == 50
    assert len(third["rows"]) == 20 and not third["more"]
    assert len(client.get("/bin.csv").text.splitlines()) == 121


def test_no_table_is_read_whole_for_the_bin(app, session):
    plans = []
    connection = session.connection()

    def explain(conn, cursor, statement, parameters, context, many):
        if statement.startswith("SELECT * FROM (SELECT"):
            plans.extend(row[3] for row in cursor.connection.execute("EXPLAIN QUERY PLAN " + statement, parameters))

    event.listen(connection, "before_cursor_execute", explain)
    set_aside_things(session, THINGS, limit=51)
    assert plans
    assert [plan for plan in plans if plan.startswith("SCAN t") and "ix_bin_" not in plan] == []
