"""Drivers, receivers, instruments, chargers and suppliers through the one set of pages that all of them have."""

import csv
import io
import json
import re
import zipfile
from pathlib import Path

import pytest

from garage.archive.export import export
from garage.fields.definition import is_open
from garage.inventory.kinds import CHARGERS, COLLECTIONS, DRIVERS, INSTRUMENTS, RECEIVERS, SUPPLIERS
from garage.paths import TEMPLATES_DIR
from garage.schema import THINGS
from tests.conftest import NOW
from tests.described import validators_of

KEEPING = {
    "place": "third drawer", "bought_on": "2024-02-29", "price": "24.9", "currency": "EUR", "notes": "in its tin",
}  # fmt: skip
FORMS = {
    DRIVERS: {"name": "Linnet", "place": "home pond", "notes": "wheel"},
    RECEIVERS: KEEPING | {"name": "Lark", "kind": "GPS", "rate_hz": "10", "makers_words": "2.5 m\n10 Hz",
                          "accuracy": "0.3 km/h against two others"},
    INSTRUMENTS: KEEPING | {"name": "Siskin", "kind": "thermometer", "reads": "temperature",
                            "smallest_step": "0.1 °C", "calibrated_on": "2026-03-01"},
    CHARGERS: KEEPING | {"name": "Plover", "power": "400 W", "ports": "2", "max_cells": "6", "max_current": "20 A",
                         "in_parallel": "yes"},
    SUPPLIERS: {"name": "Reed & Sons", "place": "1 Weir Lane", "web": "https://reed.example", "notes": "slow"},
}  # fmt: skip
OWNED = (RECEIVERS, INSTRUMENTS, CHARGERS)
GOES = {DRIVERS: "moved away", SUPPLIERS: "closed"} | dict.fromkeys(OWNED, "given away")

each = pytest.mark.parametrize("kind", COLLECTIONS, ids=lambda kind: kind.words.one)
each_owned = pytest.mark.parametrize("kind", OWNED, ids=lambda kind: kind.words.one)


def _written(client, kind) -> dict:
    assert client.post(f"{kind.url}/new", data=FORMS[kind]).url.path == f"{kind.url}/1"
    return client.get(f"{kind.url}.json").json()["rows"][0]


def _retire(client, kind, **typed: str):
    form = {"retired_on": "2026-05-01", "retired_how": GOES[kind], "retired_reason": "to a heron keeper"}
    return client.post(f"{kind.url}/1/retire", data=form | typed)


def _names(client, address: str) -> list[str]:
    return [row["name"] for row in client.get(address).json()["rows"]]


@each
def test_the_forms_of_this_test_say_something_of_every_field(kind):
    assert set(FORMS[kind]) == {field.name for field in kind.fields}


def test_an_empty_list_says_how_to_begin(client):
    for kind in COLLECTIONS:
        assert kind.words.begin in client.get(kind.url).text
        assert f"Every {kind.words.one} is in use." in client.get(f"{kind.url}?retired=yes").text


@each
def test_what_was_typed_stands_in_the_row_and_again_in_the_form(client, kind):
    row = _written(client, kind)
    assert not any(is_open(row[field.name]) for field in kind.fields)
    again = client.get(f"{kind.url}/1/edit.json").json()["values"]
    assert client.post(f"{kind.url}/1/edit", data=again).url.path == f"{kind.url}/1"
    assert client.get(f"{kind.url}.json").json()["rows"][0] == row


@each
def test_its_page_and_its_table_file_show_every_field(client, kind):
    _written(client, kind)
    page = client.get(f"{kind.url}/1").text
    for field in kind.fields:
        assert not field.listed or f"<dt>{field.label}</dt>" in page, field.name
    assert "in its tin" in page or kind not in OWNED
    assert client.get(f"{kind.url}/1.json").json()["line"]["name"] == FORMS[kind]["name"]

    (row,) = csv.DictReader(io.StringIO(client.get(f"{kind.url}.csv").text.lstrip("\ufeff")))
    said = {heading.partition(" [")[0] for heading in row}
    assert {field.name for field in kind.all_fields} <= said


@each
def test_only_a_name_is_needed_besides_what_kind_it_is(client, kind):
    needed = {name: text for name, text in FORMS[kind].items() if name in ("name", "kind")}
    assert client.post(f"{kind.url}/new", data=needed).status_code == 200
    assert client.get(f"{kind.url}/1").status_code == client.get(kind.url).status_code == 200
    nameless = client.post(f"{kind.url}/new", data=FORMS[kind] | {"name": " ", "notes": "kept words"})
    assert nameless.status_code == 422 and 'id="e-name"' in nameless.text and "kept words" in nameless.text


@each
def test_one_retired_is_off_the_list_with_day_way_and_reason_and_taking_it_back_brings_it_back(client, kind):
    row = _written(client, kind)
    page = _retire(client, kind).text
    assert f"retired 1 May 2026, {GOES[kind]}: to a heron keeper" in page
    assert (_names(client, f"{kind.url}.json"), _names(client, f"{kind.url}.json?retired=yes")) == ([], [row["name"]])
    assert f"1 May 2026, {GOES[kind]}" in client.get(f"{kind.url}?retired=yes").text
    back = f"{kind.url}/1/return"
    assert re.search(rf'<form method="post" action="{back}">.*Take it back', page)
    client.post(back)
    assert client.get(f"{kind.url}.json").json()["rows"] == [row]


@each
def test_retiring_needs_a_day_that_has_come_and_a_way_from_the_list(client, kind):
    _written(client, kind)
    for field, typed in (
        ("retired_on", ""), ("retired_on", "2026-05-10"), ("retired_how", ""), ("retired_how", "eaten"),
    ):  # fmt: skip
        answer = _retire(client, kind, **{field: typed})
        assert answer.status_code == 422 and f'id="e-{field}"' in answer.text and "to a heron keeper" in answer.text
    assert _names(client, f"{kind.url}.json") == [FORMS[kind]["name"]]


def test_one_that_is_not_there_is_not_found(client):
    for kind in COLLECTIONS:
        for page in ("", "/edit", "/retire"):
            assert client.get(f"{kind.url}/7{page}").status_code == 404
        assert client.post(f"{kind.url}/7/return").status_code == 404


@each
def test_search_finds_its_words_and_what_is_attached_and_its_name_leads_straight_there(client, kind):
    _written(client, kind)
    _retire(client, kind)
    client.post(f"/attachments/{kind.words.one}/1", data={"attach_text": "swan feather"})
    assert "swan feather" in client.get(f"{kind.url}/1").text
    assert f"on {kind.words.a}" in client.get("/search?q=swan").text
    for words in (FORMS[kind]["notes"], "heron keeper", FORMS[kind]["place"]):
        assert f"{kind.url}/1" in client.get("/search", params={"q": words}).text
    straight = client.get("/search.json", params={"q": FORMS[kind]["name"]}).json()["straight"]
    assert [found["title"] for found in straight] == [f"{FORMS[kind]['name']}, {kind.words.one}"]


@each_owned
def test_what_does_not_go_together_is_said_beside_the_field(client, kind):
    for beside, changed in (
        ("currency", {"currency": ""}), ("currency", {"currency": "4 EUR"}),
        ("bought_on", {"bought_on": "2026-05-10"}), ("price", {"price": "-1"}),
    ):  # fmt: skip
        answer = client.post(f"{kind.url}/new", data=FORMS[kind] | changed)
        assert answer.status_code == 422 and f'id="e-{beside}"' in answer.text
    assert _names(client, f"{kind.url}.json") == []


def test_a_charger_shows_the_cautions_and_that_the_makers_word_counts(client):
    _written(client, CHARGERS)
    for page in ("new", "1", "1/edit"):
        assert "Charging packs in parallel." in client.get(f"/chargers/{page}").text
    assert "stated by the maker, whose word counts" in client.get("/chargers/1").text
    assert "Charging packs in parallel." not in client.get("/suppliers/new").text


def test_the_data_is_as_described_with_the_fields_of_each_kind(client):
    validators = validators_of(client.get("/openapi.json").json())
    for kind in COLLECTIONS:
        _written(client, kind)
        for path in ("", "/new", "/{row_id}", "/{row_id}/edit", "/{row_id}/retire"):
            content = client.get(f"{kind.url}{path.format(row_id=1)}.json").json()
            validators[f"{kind.url}{path}.json", 200].validate(content)
        content = client.get(f"{kind.url}.json").json()
        del content["rows"][0][kind.fields[-1].name]
        assert not validators[f"{kind.url}.json", 200].is_valid(content)


def test_all_of_it_is_exported(client, app, tmp_path: Path):
    for kind in COLLECTIONS:
        _written(client, kind)
    export(app.state.settings.data_dir, tmp_path / "export.zip", NOW)
    with zipfile.ZipFile(tmp_path / "export.zip") as archive:
        for kind in COLLECTIONS:
            (row,) = json.loads(archive.read(f"json/{kind.words.one}.json"))
            assert row["name"] == FORMS[kind]["name"] and row["notes"] == FORMS[kind]["notes"]


def test_the_lists_are_linked_from_the_rooms_beside_them(client):
    for page in ("/drives", "/stock", "/preferences", "/drivers"):
        text = client.get(page).text
        assert [kind.url for kind in COLLECTIONS if f'href="{kind.url}"' not in text] == []


def test_every_collection_is_a_kind_of_thing_with_its_own_table_and_the_pages_name_none():
    assert {kind.words.one for kind in COLLECTIONS} <= set(THINGS.by_name)
    assert len({kind.table for kind in COLLECTIONS}) == len({kind.url for kind in COLLECTIONS}) == len(COLLECTIONS)
    pages = [path for path in (TEMPLATES_DIR / "inventory").glob("*.html") if path.name != "_links.html"]
    assert [path.name for path in pages if any(kind.url in path.read_text() for kind in COLLECTIONS)] == []
