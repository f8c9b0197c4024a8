"""The form of a part: what is read, what is refused, what stays in the fields."""

import httpx
import pytest
from sqlmodel import select

from garage.db.engine import reading
from garage.drives.fields import FIELDS, figures_of_kind
from garage.drives.figures import FIGURES, PART_KINDS
from garage.drives.store import part_spec, parts_in_use
from garage.drives.tables import Part

MOTOR = {"code": "M1", "name": "blue can", "kv_stated": "1 950", "kv_measured": "1840 rpm/V", "poles": "4"}


def parts(app) -> list[Part]:
    with reading(app.state.engine) as session:
        return list(session.exec(select(Part)))


def add(client: httpx.Client, kind: str = "motor", **typed: str) -> httpx.Response:
    return client.post(f"/drives/new?kind={kind}", data=typed)


def test_every_kind_shows_its_own_figures_and_no_others(client):
    for kind in PART_KINDS:
        page = client.get("/drives/new", params={"kind": kind}).text
        for figures in FIGURES.values():
            for name in figures:
                assert (f'name="{name}"' in page) == (name in FIGURES[kind]), (kind, name)


def test_the_figures_of_the_kinds_are_those_of_the_list():
    named = {name for names in FIGURES.values() for name in names}
    assert named == {field.name for field in FIELDS if field.asked == "figures"}
    for kind, names in FIGURES.items():
        assert [field.name for field in figures_of_kind(kind)] == list(names)


def test_programs_are_told_of_each_figure_what_a_form_for_it_needs(client):
    figures = client.get("/drives/new.json?kind=receiver").json()["figures"]
    expected = {"field": "mass", "column": "mass_g", "kind": "mass", "label": "Mass", "low": 0.01, "high": 20000}
    assert len(figures) == 1 and figures[0].items() >= expected.items()


def test_the_page_asks_for_the_kind_first_and_a_post_without_one_is_refused_in_words(client):
    assert "What is it?" in client.get("/drives/new").text
    refused = client.post("/drives/new", data=MOTOR)
    assert refused.status_code == 422
    assert "Choose first what kind" in refused.text


def test_codes_are_suggested_one_after_the_other(client):
    assert 'value="M1"' in client.get("/drives/new?kind=motor").text
    add(client, code="M7")
    add(client, code="M7b")
    assert 'value="M8"' in client.get("/drives/new?kind=motor").text
    assert 'value="E1"' in client.get("/drives/new?kind=speed+controller").text


def test_a_motor_is_kept_in_storage_units_and_its_page_says_how_each_figure_is_known(client, app):
    page = add(client, **MOTOR, resistance="4,2 mΩ", diameter="1.5 in", mass="0.3 kg")
    assert page.status_code == 200
    [kept] = parts(app)
    assert (kept.kv_stated, kept.kv_measured, kept.poles, kept.resistance_mohm) == (1950, 1840, 4, 4.2)
    assert (kept.diameter_mm, kept.mass_g) == (pytest.approx(38.1), 300)
    assert "stated by the maker" in page.text
    # 1840 / 1950 = 0.94359, by hand
    assert "measured, \u22125.6 % against the label" in page.text


def test_the_form_of_a_kept_part_shows_its_figures_and_saves_them_unchanged(client, app):
    add(client, **MOTOR, diameter="36.3 mm")
    before = parts(app)[0].model_dump()
    page = client.get("/drives/1/edit").text
    assert 'value="36.3"' in page and 'value="1950"' in page
    client.post("/drives/1/edit", data=MOTOR | {"diameter": "36.3"})
    assert parts(app)[0].model_dump() == before


def test_what_a_state_remembers_holds_only_figures_that_the_part_has(client, app):
    add(client, **MOTOR)
    spec = part_spec(parts(app)[0])
    expected = {"code": "M1", "kind": "motor", "name": "blue can", "kv_stated": 1950.0, "kv_measured": 1840.0}
    assert spec == expected | {"poles": 4}


def test_parts_in_a_few_words(client, app):
    add(client, **MOTOR)
    with reading(app.state.engine) as session:
        assert [one.text for one in parts_in_use(session)] == ["M1 motor, blue can, 1\u202f840 rpm/V"]


@pytest.mark.parametrize(
    ("kind", "field", "typed", "message"),
    [
        ("motor", "code", "", "This is needed."),
        ("motor", "code", "x" * 10_000, "at most 20 fit here"),
        ("motor", "kv_stated", "-3", "It must be at least 10"),
        ("motor", "kv_stated", "9e9", "It must be at most"),
        ("motor", "kv_stated", "12 V", "is not understood here"),
        ("motor", "kv_stated", "fast 🚤", "is not a number"),
        ("motor", "poles", "3", "even number of poles"),
        ("motor", "poles", "2.5", "A whole number goes here."),
        ("motor", "poles", "x" * 10_000, "characters were written"),
        ("motor", "mass", "nan", "is not a number"),
        ("motor", "bought_on", "2026-05-10", "is still to come"),
        ("motor", "bought_on", "soon", "is not a date"),
        ("motor", "notes", "n" * 5001, "at most 5000 fit here"),
        ("speed controller", "cut_off", "12", "It must be at most"),
        ("speed controller", "max_cells", "0", "It must be at least 1"),
        ("speed controller", "throttle_calibrated_on", "2027-01-01", "is still to come"),
        ("capacitor bank", "capacitance", "5,000", "Write 5.0 or 5000"),
    ],
)
def test_a_wrong_figure_gets_a_message_by_its_field_and_everything_typed_stays(
    client, app, kind, field, typed, message
):
    answer = add(client, kind, **({"code": "Q1", "name": "kept words"} | {field: typed}))
    assert answer.status_code == 422
    assert message in answer.text
    assert f'id="e-{field}"' in answer.text
    assert "kept words" in answer.text
    assert parts(app) == []


def test_words_with_signs_of_every_kind_are_kept_as_typed(client, app):
    add(client, code="M1", name='<b>"é🚤"</b>', notes="a\nb")
    assert parts(app)[0].name == '<b>"é🚤"</b>'
    page = client.get("/drives/1").text
    assert "&lt;b&gt;" in page and "a<br>b" in page


def test_a_code_is_not_given_twice_whatever_its_case(client, app):
    add(client, code="M1")
    answer = add(client, code="m1", name="second")
    assert answer.status_code == 422
    assert "The code M1 is taken" in answer.text and 'value="second"' in answer.text
    assert len(parts(app)) == 1


def test_a_part_keeps_its_own_code_in_another_case(client, app):
    add(client, code="M1")
    client.post("/drives/1/edit", data={"code": "m1"})
    assert parts(app)[0].code == "m1"


def test_retiring_takes_a_part_off_the_list_and_one_press_brings_it_back(client):
    add(client, **MOTOR)
    page = client.post("/drives/1/retire", data={"retired_on": "2026-05-09", "retired_how": "burnt out"})
    assert "retired 9 May 2026, burnt out" in page.text
    assert 'action="/drives/1/return"' in page.text
    assert "blue can" not in client.get("/drives").text
    assert "blue can" in client.get("/drives?retired=yes").text
    client.post("/drives/1/return")
    assert "blue can" in client.get("/drives").text


def test_a_reason_too_long_is_answered_at_its_field(client):
    add(client, **MOTOR)
    answer = client.post("/drives/1/retire", data={"retired_reason": "y" * 301})
    assert answer.status_code == 422
    assert 'id="e-retired_reason"' in answer.text


@pytest.mark.parametrize("path", ["/drives/9", "/drives/9/edit", "/drives/9/retire", "/drives/x", "/drives/9.json"])
def test_a_part_that_is_not_there_is_said_so(client, path):
    assert client.get(path).status_code == 404
