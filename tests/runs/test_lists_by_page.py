"""The list of runs comes in pages: as many rows as fit, and a further page only where there is one more."""

import pytest

from garage.db.engine import writing
from garage.web import desk
from tests.runs.conftest import make_world


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
