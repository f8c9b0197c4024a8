"""Supplies and the shelf page: what is low, what is wished for, where things lie, what they cost."""

import pytest
from sqlmodel import select

from garage.db.engine import reading, writing
from garage.packs.tables import Pack
from garage.props.tables import Prop
from garage.shelf.tables import ShelfEntry
from garage.stock.tables import Supply

NOW = "2026-05-09T14:30:00Z"
BRASS = {"code": "SU1", "name": "brass sheet 1 mm", "counted_in": "sheets", "notes": "soft"}


def supplies(app) -> list[Supply]:
    with reading(app.state.engine) as session:
        return list(session.exec(select(Supply)))


def one_of_each(client, app) -> None:
    with writing(app.state.engine) as session:
        session.add(Prop(code="P1", printed_name="42 x 58", created_at=NOW))
        session.add(Pack(code="J", name="grey", cells_s=3, capacity_mah=4000, created_at=NOW))
    client.post("/drives/new?kind=motor", data={"code": "M1", "name": "blue can"})
    client.post("/stock/supplies/new", data=BRASS)


def shelve(client, owner: str, **typed: str) -> None:
    answer = client.post(f"/shelf/{owner}/1", data={"quantity": "1"} | typed, follow_redirects=False)
    assert answer.status_code == 303


def sheet(client) -> dict:
    return client.get("/stock.json").json()


def test_an_empty_shelf_says_how_to_begin(client):
    assert "Nothing stands on the shelf yet." in client.get("/stock").text


def test_items_of_every_kind_stand_by_place_with_their_names(client, app):
    one_of_each(client, app)
    for owner, place in (("prop", "b"), ("pack", "c"), ("part", "a"), ("supply", "d")):
        shelve(client, owner, place=place)
    lines = [(line["place"], line["code"], line["name"], line["url"]) for line in sheet(client)["rows"]]
    assert lines == [
        ("a", "M1", "motor blue can", "/drives/1"),
        ("b", "P1", "42 x 58", "/props/1"),
        ("c", "J", "grey", "/packs/1"),
        ("d", "SU1", "brass sheet 1 mm", "/stock/supplies/1"),
    ]
    assert client.get("/stock.csv").text.count("\n") == 5
    assert "brass sheet 1 mm" in client.get("/stock").text


def test_low_and_wished_items_stand_first(client, app):
    one_of_each(client, app)
    shelve(client, "supply", quantity="1", reorder_level="2")
    shelve(client, "prop", quantity="0", wished="yes")
    shelve(client, "part", quantity="3", reorder_level="2")
    found = sheet(client)
    assert [line["code"] for line in found["low"]] == ["SU1"]
    assert [line["code"] for line in found["wished"]] == ["P1"]
    assert "Running low" in client.get("/stock").text


def test_money_is_summed_for_each_kind_by_itself_and_says_what_from(client, app):
    one_of_each(client, app)
    shelve(client, "prop", quantity="3", price="20.50", currency="EUR")
    shelve(client, "pack", quantity="1", price="60", currency="EUR")
    shelve(client, "part", quantity="2", price="7", currency="USD")
    shelve(client, "supply", quantity="9")
    # 3 × 20.50 + 60 = 121.50 and 2 × 7 = 14, by hand
    assert [money["total"] for money in sheet(client)["money"]] == ["121.50 EUR", "14.00 USD"]
    assert "computed: price of one × how many, 2 items in use" in client.get("/stock").text


def test_what_is_retired_leaves_the_shelf_page_and_its_sum(client, app):
    one_of_each(client, app)
    shelve(client, "part", price="7", currency="EUR", reorder_level="5", wished="yes")
    client.post("/drives/1/retire", data={"retired_on": "2026-05-09", "retired_how": "worn out"})
    found = sheet(client)
    assert (found["rows"], found["low"], found["wished"], found["money"]) == ([], [], [], [])
    client.post("/drives/1/return")
    assert len(sheet(client)["rows"]) == 1


def test_a_long_shelf_is_cut_into_pages_and_the_table_file_is_whole(client, app):
    with writing(app.state.engine) as session:
        for number in range(1, 121):
            session.add(Supply(id=number, code=f"SU{number}", name=f"thing {number}", created_at=NOW))
            session.add(ShelfEntry(owner="supply", owner_id=number, place=f"{number:03}", low=True))
    first, last = (client.get(f"/stock.json?page={page}").json() for page in (1, 3))
    assert (len(first["rows"]), first["more"], len(last["rows"]), last["more"]) == (50, True, 20, False)
    assert (len(first["low"]), first["low_more"]) == (50, True)
    assert client.get("/stock.csv").text.count("\n") == 121


def test_a_new_supply_leads_to_how_many_there_are(client, app):
    answer = client.post("/stock/supplies/new", data=BRASS)
    assert answer.url.path == "/shelf/supply/1"
    assert "How many are there?" in answer.text
    assert 'value="SU2"' in client.get("/stock/supplies/new").text
    page = client.get("/stock/supplies/1").text
    assert "counted in sheets" in page and "soft" in page


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"code": ""}, "code"),
        ({"code": "x" * 21}, "code"),
        ({"name": ""}, "name"),
        ({"name": "🚤" * 10_000}, "name"),
        ({"counted_in": "c" * 41}, "counted_in"),
        ({"notes": "n" * 10_000}, "notes"),
    ],
)
def test_a_wrong_supply_gets_a_message_by_its_field_and_everything_typed_stays(client, app, typed, field):
    answer = client.post("/stock/supplies/new", data={**BRASS, "counted_in": "kept words"} | typed)
    assert answer.status_code == 422
    assert f'id="e-{field}"' in answer.text
    assert field == "counted_in" or "kept words" in answer.text
    assert supplies(app) == []


def test_a_code_is_not_given_twice(client, app):
    client.post("/stock/supplies/new", data=BRASS)
    answer = client.post("/stock/supplies/new", data=BRASS | {"code": "su1", "name": "grease"})
    assert answer.status_code == 422 and "The code SU1 is taken: brass sheet 1 mm." in answer.text
    client.post("/stock/supplies/new", data={"code": "SU2", "name": "grease"})
    assert client.post("/stock/supplies/2/edit", data=BRASS).status_code == 422
    assert client.post("/stock/supplies/1/edit", data=BRASS | {"name": "brass"}).status_code == 200
    assert [supply.name for supply in supplies(app)] == ["brass", "grease"]


def test_a_supply_no_longer_bought_can_be_taken_back(client, app):
    client.post("/stock/supplies/new", data=BRASS)
    page = client.post("/stock/supplies/1/retire")
    assert "no longer bought since 9 May 2026" in page.text and "Take it back" in page.text
    assert "brass" not in client.get("/stock/supplies").text
    assert "brass" in client.get("/stock/supplies?retired=yes").text
    client.post("/stock/supplies/1/return")
    assert "brass" in client.get("/stock/supplies").text


@pytest.mark.parametrize("path", ["/stock/supplies/9", "/stock/supplies/9/edit", "/stock/supplies/x"])
def test_a_supply_that_is_not_there_is_said_so(client, path):
    assert client.get(path).status_code == 404
