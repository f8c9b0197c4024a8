"""The end of anything with day and how, through the one page that asks for it, and back again."""

import csv
import io

import pytest

from garage.drives.kinds import PARTS
from garage.hulls.kinds import HULLS
from garage.inventory.kinds import CHARGERS
from garage.packs.kinds import PACKS
from garage.props.kinds import PROPS
from garage.waters.kinds import WATERS
from tests.described import validators_of

CAME = "2026-04-01"
# What makes one of each, and a way in which it goes.
FORMS = {
    HULLS: ("/new", {"name": "Quince", "kind": "mono", "screws": "1", "built_on": CAME}, "wrecked"),
    PACKS: (
        "/new",
        {"code": "J", "cells_s": "3", "capacity": "4000", "bought_on": CAME},
        "handed in at a collecting point",
    ),
    PROPS: (
        "/new",
        {"code": "P1", "size": "42 x 58", "blades": "2", "hand": "right", "condition": "good", "bought_on": CAME},
        "lost",
    ),
    PARTS: ("/new?kind=motor", {"code": "M1", "bought_on": CAME}, "burnt out"),
    WATERS: ("/new", {"name": "Hollow Mere"}, "closed to boats"),
    CHARGERS: ("/new", {"name": "Plover", "bought_on": CAME}, "sold"),
}
each = pytest.mark.parametrize("kind", FORMS, ids=lambda kind: kind.words.one)


@pytest.fixture
def made(client, kind):
    new, form, _ = FORMS[kind]
    assert client.post(kind.url + new, data=form).status_code == 200
    return client


def _end(client, kind, **typed: str):
    form = {"retired_on": "2026-05-01", "retired_how": FORMS[kind][2], "retired_reason": "after the flood"}
    return client.post(f"{kind.url}/1/retire", data=form | typed)


def _rows(client, kind, query: str = "") -> list[dict]:
    return client.get(f"{kind.url}.json{query}").json()["rows"]


@each
def test_the_end_stands_on_the_page_in_the_list_in_the_data_and_in_the_table_file(made, kind):
    (before,) = _rows(made, kind)
    how, page = FORMS[kind][2], _end(made, kind).text
    assert f"is {kind.words.gone}." in page and _rows(made, kind) == []
    words = f"1 May 2026, {how}: after the flood"
    assert words in made.get(f"{kind.url}?retired=yes").text or kind is CHARGERS
    assert words in made.get(f"{kind.url}/1").text
    (row,) = _rows(made, kind, "?retired=yes")
    assert (row["retired_on"], row["retired_how"], row["retired_reason"]) == ("2026-05-01", how, "after the flood")
    (line,) = csv.DictReader(io.StringIO(made.get(f"{kind.url}.csv?retired=yes").text.lstrip("\ufeff")))
    assert (line["retired_on"], line["retired_how"]) == ("2026-05-01", how)
    assert f"{kind.url}/1" in made.get("/search?q=flood").text
    back = made.post(f"{kind.url}/1/return").text
    assert f"is {kind.words.back}." in back and "Take it back" in back
    assert _rows(made, kind) == [before]


@each
def test_a_day_that_cannot_be_and_a_way_that_is_none_are_refused_beside_the_field(made, kind):
    for field, typed in (
        ("retired_on", ""), ("retired_on", "2026-05-10"), ("retired_on", "2026-03-31"), ("retired_how", ""),
        ("retired_how", "eaten"),
    ):  # fmt: skip
        if typed == "2026-03-31" and not kind.came:
            continue
        answer = _end(made, kind, **{field: typed})
        assert answer.status_code == 422 and f'id="e-{field}"' in answer.text and "after the flood" in answer.text
    assert len(_rows(made, kind)) == 1


@each
def test_retired_once_more_and_that_taken_back_it_is_retired_as_it_was(made, kind):
    _end(made, kind)
    again = _end(made, kind, retired_on="2026-05-02").text
    assert made.post("/undo/" + again.split('action="/undo/')[1].split('"')[0]).status_code == 200
    assert [row["retired_on"] for row in _rows(made, kind, "?retired=yes")] == ["2026-05-01"]


@each
def test_it_cannot_have_come_after_its_end(made, kind):
    if kind.came:
        _end(made, kind)
        edit = f"{kind.url}/1/edit"
        values = made.get(f"{edit}.json").json()["values"]
        assert made.post(edit, data=values | {kind.came: "2026-05-02"}).status_code == 422
        assert made.post(edit, data=values | {kind.came: "2026-05-01"}).status_code == 200


@each
def test_the_page_that_asks_has_today_filled_in_and_is_as_described(made, kind):
    asked = made.get(f"{kind.url}/1/retire.json").json()
    assert asked["values"] == {"retired_on": "2026-05-09"}
    validators_of(made.get("/openapi.json").json())[f"{kind.url}/{{row_id}}/retire.json", 200].validate(asked)
    assert ("Old packs" in made.get(f"{kind.url}/1/retire").text) == (kind is PACKS)
    assert made.get(f"{kind.url}/7/retire").status_code == made.post(f"{kind.url}/7/return").status_code == 404
