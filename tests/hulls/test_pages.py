"""Hulls through their pages: written down, put right, retired and brought back; lists before launch."""

import pytest

HULL = {"name": "Quince", "kind": "mono", "length": "69 cm", "screws": "1", "fixed_tube": "yes"}


@pytest.fixture
def quince(client):
    client.post("/hulls/new", data=HULL)
    return client


@pytest.mark.parametrize(
    ("typed", "length_mm"), [("27 in", 685.8), ("68,5 cm", 685), ("0.69 m", 690), ("690", 690), ("2 ft", 609.6)]
)
def test_a_length_is_understood_in_any_sensible_unit(client, typed, length_mm):
    client.post("/hulls/new", data=HULL | {"length": typed})
    assert client.get("/hulls.json").json()["rows"][0]["length"]["value"] == pytest.approx(length_mm)


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("name", ""),
        ("name", "x" * 10_000),
        ("kind", "submarine"),
        ("length", "-5"),
        ("length", "9 km"),
        ("length", "5 kg"),
        ("length", "nan"),
        ("deadrise", "\U0001f6a4"),
        ("bare_mass", "0"),
        ("built_on", "2099-01-01"),
        ("built_on", "31 April"),
    ],
)
def test_a_wrong_field_is_said_beside_it_and_nothing_is_lost(client, field, typed):
    answer = client.post("/hulls/new", data=HULL | {"material": "glass"} | {field: typed})
    assert answer.status_code == 422
    assert f'id="e-{field}"' in answer.text
    assert 'value="glass"' in answer.text
    assert client.get("/hulls.json").json()["rows"] == []


def test_a_beam_wider_than_the_hull_is_long_is_asked_about(client):
    answer = client.post("/hulls/new", data=HULL | {"beam": "80 cm"})
    assert answer.status_code == 422 and "changed places" in answer.text


def test_a_name_is_taken_whatever_its_capitals(quince):
    answer = quince.post("/hulls/new", data=HULL | {"name": "QUINCE"})
    assert answer.status_code == 422 and "already" in answer.text


def test_facts_typed_in_the_form_come_back_the_same(quince):
    quince.post("/hulls/1/edit", data=HULL | {"deadrise": "18.5", "beam": "8 1/4 in", "notes": "two\r\nlines"})
    values = quince.get("/hulls/1/edit.json").json()["values"]
    assert float(values["beam"]) == pytest.approx(209.55)
    assert values["deadrise"] == "18.5" and values["notes"].splitlines() == ["two", "lines"]


def test_a_retired_hull_leaves_the_list_and_comes_back_whole(quince):
    before = quince.get("/hulls/1/edit.json").json()
    quince.post("/hulls/1/retire", data={"retired_on": "2026-05-09", "retired_how": "sold"})
    assert quince.get("/hulls.json").json()["rows"] == []
    assert quince.get("/hulls.json?retired=yes").json()["rows"][0]["name"] == "Quince"
    quince.post("/hulls/1/return")
    assert quince.get("/hulls.json").json()["rows"][0]["name"] == "Quince"
    assert quince.get("/hulls/1/edit.json").json() == before


def test_a_line_taken_off_a_list_comes_back_where_it_was(quince):
    before = quince.get("/hulls/1/lists.json").json()["launch"]
    line_id = before[1][0]
    quince.post(f"/hulls/1/lists/{line_id}/remove")
    assert [line for line in before if line[0] != line_id] == quince.get("/hulls/1/lists.json").json()["launch"]
    quince.post(f"/hulls/1/lists/{line_id}/return")
    assert quince.get("/hulls/1/lists.json").json()["launch"] == before


def test_a_new_line_stands_at_the_end_of_its_list(quince):
    quince.post("/hulls/1/lists", data={"checklist": "packing", "text": "Spare fuse"})
    assert quince.get("/hulls/1/lists.json").json()["packing"][-1][1] == "Spare fuse"


def test_a_line_of_another_hull_is_not_found(quince):
    quince.post("/hulls/new", data=HULL | {"name": "Medlar"})
    line_id = quince.get("/hulls/2/lists.json").json()["launch"][0][0]
    assert quince.post(f"/hulls/1/lists/{line_id}/remove").status_code == 404
