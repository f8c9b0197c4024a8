"""An item's shelf entry: quantity, price, place, and when it counts as low."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlmodel import select

from garage.db.engine import reading
from garage.shelf.sheets import number_text
from garage.shelf.store import is_low
from garage.shelf.tables import ShelfEntry


@pytest.fixture
def motor(client) -> str:
    client.post("/drives/new?kind=motor", data={"code": "M1"})
    return "/shelf/part/1"


def entries(app) -> list[ShelfEntry]:
    with reading(app.state.engine) as session:
        return list(session.exec(select(ShelfEntry)))


FULL = {
    "quantity": "2",
    "price": "24,90",
    "currency": "EUR",
    "place": "left drawer",
    "supplier": "market stall",
    "reorder_level": "2",
    "wished": "yes",
    "shelf_note": "bearings too",
}


def test_an_entry_is_kept_shown_on_the_items_page_and_written_anew(client, app, motor):
    page = client.post(motor, data=FULL).text
    for words in ("24.90 EUR", "left drawer", "market stall", "bearings too", ">low<", "wished for"):
        assert words in page
    client.post(motor, data=FULL | {"quantity": "3"})
    [kept] = entries(app)
    assert (kept.quantity, kept.low, kept.price) == (3, False, 24.9)
    form = client.get(motor).text
    assert 'value="24.9"' in form and 'value="3"' in form


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"quantity": ""}, "quantity"),
        ({"quantity": "-1"}, "quantity"),
        ({"quantity": "1e9"}, "quantity"),
        ({"quantity": "two 🚤"}, "quantity"),
        ({"quantity": "3 mm"}, "quantity"),
        ({"quantity": "9" * 10_000}, "quantity"),
        ({"price": "-3"}, "price"),
        ({"price": "nan"}, "price"),
        ({"currency": ""}, "currency"),
        ({"currency": "E U"}, "currency"),
        ({"currency": "1"}, "currency"),
        ({"place": "p" * 10_000}, "place"),
        ({"supplier": "s" * 201}, "supplier"),
        ({"reorder_level": "few"}, "reorder_level"),
        ({"shelf_note": "x" * 301}, "shelf_note"),
    ],
)
def test_a_wrong_entry_gets_a_message_by_its_field_and_everything_typed_stays(client, app, motor, typed, field):
    answer = client.post(motor, data=FULL | {"place": "kept words"} | typed)
    assert answer.status_code == 422
    assert f'id="e-{field}"' in answer.text
    assert field == "place" or "kept words" in answer.text
    assert entries(app) == []


@pytest.mark.parametrize("path", ["/shelf/part/9", "/shelf/hull/1", "/shelf/nonsense/1", "/shelf/part/x"])
def test_what_is_not_there_lies_on_no_shelf(client, path):
    assert client.get(path).status_code == 404
    assert client.post(path, data=FULL).status_code == 404


@given(st.floats(0, 1e6), st.floats(0, 1e6))
def test_low_means_as_many_as_the_level_or_fewer(quantity, level):
    assert is_low(quantity, level) == (quantity <= level)
    assert not is_low(quantity, None)


@given(st.floats(0, 1e6))
def test_a_number_in_the_form_reads_back_as_the_same_number(value):
    assert float(number_text(value)) == value
