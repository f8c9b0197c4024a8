"""The list of runs comes in pages: as many rows as fit, and a further page only where there is one more."""

import pytest

from garage.db.engine import writing
from garage.moments import Moment
from garage.runs.next.store import mark_tried
from garage.web import desk
from tests.runs.conftest import AT, make_world


@pytest.mark.parametrize("query", ["", "&hull=1"])
@pytest.mark.parametrize(("count", "pages"), [(2, [2]), (3, [2, 1])])
def test_a_further_page_is_told_of_only_where_there_is_one(app, client, monkeypatch, query, count, pages):
    monkeypatch.setattr(desk, "PAGE_LENGTH", 2)
    with writing(app.state.engine) as session:
        world = make_world(session)
        ids = [world.run(None, hull=world.medlar).id for _ in range(count)]
    seen = []
    for page, rows in enumerate(pages, start=1):
        told = client.get(f"/runs.json?page={page}{query}").json()
        assert (len(told["rows"]), told["more"], told["page"]) == (rows, page < len(pages), page)
        assert (told["hull_id"], told["hull"]) == ((1, "Medlar") if query else (None, ""))
        seen += [row["id"] for row in told["rows"]]
    assert seen == ids[::-1]
    assert client.get("/runs.json?hull=x").json()["hull_id"] is None
    assert client.get("/runs?hull=99").status_code == 404


@pytest.mark.parametrize("done", ["", "&done=yes"])
def test_what_to_try_next_comes_in_pages_too_what_was_tried_apart(app, client, monkeypatch, done):
    monkeypatch.setattr(desk, "PAGE_LENGTH", 2)
    with writing(app.state.engine) as session:
        world = make_world(session)
        ids = [world.run(None, started=Moment(f"2026-05-09T1{hour}:00:00Z", 0), try_next="x").id for hour in range(4)]
        for run_id in ids[1:] if done else ids[:1]:
            mark_tried(session, run_id, AT.utc)
    told = [client.get(f"/runs/try-next.json?page={page}{done}").json() for page in (1, 2)]
    assert [([row["run_id"] for row in one["rows"]], one["more"]) for one in told] == [
        (ids[:1:-1], True), ([ids[1]], False),
    ]  # fmt: skip
