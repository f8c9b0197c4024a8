"""A field that a person adds to a thing stands wherever the thing's own fields do, and nothing in it is ever lost."""

import csv
import io
import json
import re

import pytest

# Of each thing: the form of the one there is, what has to stand in it besides, its page, its data, and its list.
THINGS = {
    "modification": (
        "/modifications/1/edit", {"title": "Trim tabs", "permanence": "removable"}, "/modifications/1",
        "/hulls/1/modifications",
    ),
    "pack": ("/packs/1/edit", {"code": "J", "cells_s": "3", "capacity": "4000"}, "/packs/1", "/packs"),
    "prop": ("/props/1/edit", {"code": "P1", "blades": "2", "hand": "right"}, "/props/1", "/props"),
    "part": ("/drives/1/edit", {"code": "M1", "kind": "motor"}, "/drives/1", "/drives"),
    "outing": ("/outings/1/edit", {"water": "1", "started": "2026-05-09T10:00"}, "/outings/1", "/outings"),
    "run": ("/runs/1/edit", {"pack_code": "J", "kind": "speed", "speed": "80"}, "/runs/1", "/runs"),
}  # fmt: skip


@pytest.fixture
def garage(client):
    """A garage with one of each."""
    client.post("/hulls/new", data={"name": "Quince", "kind": "mono"})
    client.post(
        "/props/new", data={"code": "P1", "size": "42 x 58", "blades": "2", "hand": "right", "condition": "good"}
    )
    client.post("/hulls/1/modifications/new", data={"title": "Trim tabs", "permanence": "removable"})
    client.post("/packs/new", data={"code": "J", "cells_s": "3", "capacity": "4000"})
    client.post("/drives/new?kind=motor", data={"code": "M1"})
    client.post("/waters/new", data={"name": "Hollow Mere"})
    client.post("/outings/new", data={"water": "1", "started": "2026-05-09T10:00"})
    client.post("/runs/new", data={"hull": "1", "outing": "1", "pack": "1", "speed": "80"})
    return client


def add(garage, thing: str, **typed: str):
    """Add a field; the page that follows."""
    return garage.post(f"/own-fields/{thing}/new", data=typed)


def found(answer, name: str):
    """A value wherever it stands in an answer of data."""
    return re.findall(rf'"{name}": ?(\{{[^}}]*\}}|"[^"]*"|[-0-9.]+|null)', json.dumps(answer.json()))


def cells(answer) -> dict[str, str]:
    """The last row of a table file by its headings."""
    return list(csv.DictReader(io.StringIO(answer.text.lstrip("\ufeff"))))[-1]


@pytest.mark.parametrize("thing", THINGS)
@pytest.mark.parametrize(
    ("asked", "typed", "shown", "data", "heading", "cell"),
    [
        ({"kind": "length", "low": "1"}, "1.5 in", "38.1<span", "38.1", " [mm]", "38.1"),
        ({"kind": "number", "unit": "turns"}, "-2.5", "\u22122.5 turns", "-2.5", " [turns]", "-2.5"),
        ({"kind": "choice", "choices": "None\nSome\nMuch"}, "Some", "Some", '"Some"', "", "Some"),
        ({"kind": "yes/no"}, "no", "no", '"no"', "", "no"),
        ({"kind": "text"}, "Mirabelle & Co", "Mirabelle &amp; Co", '"Mirabelle & Co"', "", "Mirabelle & Co"),
    ],
    ids=["measure", "number", "choice", "yes or no", "text"],
)
def test_what_is_typed_stands_in_form_page_data_and_table(
    garage, thing, asked, typed, shown, data, heading, cell
):  # fmt: skip
    form, besides, page, listed = THINGS[thing]
    add(garage, thing, label="Weed on it", hint="by the bank", **asked)
    assert "by the bank" in garage.get(form).text and 'name="own_weed_on_it"' in garage.get(form).text
    answer = garage.post(form, data=besides | {"own_weed_on_it": typed})
    assert answer.status_code == 200, answer.text
    assert "<dt>Weed on it</dt><dd>" + shown in answer.text.replace("<dd><p>", "<dd>")
    assert json.loads(garage.get(f"{form}.json").text)["values"]["own_weed_on_it"] in (typed, "38.1")
    for address in (page, listed):
        assert any(data in one for one in found(garage.get(f"{address}.json"), "own_weed_on_it")), address
    assert cells(garage.get(f"{listed}.csv"))[f"own_weed_on_it{heading}"] == cell


def test_on_a_hull_it_is_a_setting_that_a_visit_writes_and_her_pages_show(garage):
    before = garage.get("/hulls/1/states.json").json()["rows"][0]["fingerprint"]
    add(garage, "hull", label="Bilge tape", kind="choice", choices="blue\nred")
    add(garage, "hull", label="Hatch screws", kind="number", unit="pieces", low="0")
    assert garage.get("/hulls/1/states.json").json()["rows"][0]["fingerprint"] == before
    visit = {"at": "2026-05-09T14:30", "set_own_1_single": "red", "set_own_2_single": "6"}
    answer = garage.post("/hulls/1/changes/new", data=visit)
    assert "Bilge tape set to red" in answer.text and "Hatch screws set to 6 pieces" in answer.text
    assert "<dt>Bilge tape</dt><dd>red</dd>" in garage.get("/hulls/1").text
    garage.post("/own-fields/1/put-away", data={})
    garage.post("/own-fields/2/edit", data={"label": "Screws of the hatch", "hint": ""})
    page = garage.get("/hulls/1/states/2").text
    assert "Bilge tape" in page and "Screws of the hatch" in page and "own 1" not in page
    form = garage.get("/hulls/1/changes/new").text
    assert 'name="set_own_1_single"' not in form and 'name="clear_own_1_single"' in form
    assert 'name="set_own_2_single"' in form
    assert "Bilge tape" in garage.get("/search?q=red").text
