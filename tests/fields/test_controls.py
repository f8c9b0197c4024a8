"""The macros of forms make each control from the definition of its field."""

from types import SimpleNamespace

import pytest
from jinja2 import UndefinedError

from garage.fields.definition import Field
from garage.units import DisplayUnits
from garage.web import templates
from garage.web.shown import kept_units
from tests.fields.test_forms import FIELDS


def _render(source: str, fields=FIELDS) -> str:
    kept_units.set(DisplayUnits.imperial())
    source = '{% from "parts/fields.html" import field, fields_of with context %}' + source
    sheet = SimpleNamespace(fields=fields, others=FIELDS[:2])
    return templates.make_environment().from_string(source).render(sheet=sheet, entry=templates.Entry())


@pytest.mark.parametrize(
    ("name", "control"),
    [
        ("name", 'type="text"'),
        ("notes", "<textarea"),
        ("kind", '<option value="c">catamaran</option>'),
        ("screws", '<option value="2">2</option>'),
        ("blades", 'inputmode="numeric"'),
        ("ratio", 'inputmode="decimal"'),
        ("length", '<span class="hint" id="h-length">in</span>'),
        ("drilled", 'type="checkbox"'),
        ("bought_on", 'type="date"'),
        ("made", 'type="datetime-local"'),
    ],
)
def test_each_kind_has_its_control_under_its_own_name(name, control):
    html = _render(f"{{{{ field('{name}') }}}}")
    assert f'name="{name}"' in html and control in html


def test_a_form_may_call_a_field_otherwise():
    html = _render("{{ field('length', {'label': 'New length', 'hint': 'if it changed', 'required': true}) }}")
    assert "New length" in html and "in, if it changed" in html and "needed" in html


def test_an_open_choice_can_stay_open_and_one_with_a_default_cannot():
    assert '<option value=""></option>' in _render("{{ field('kind') }}")
    assert '<option value="">' not in _render("{{ field('screws') }}")


def test_a_section_has_its_fields_in_the_order_of_the_list():
    html = _render("{{ fields_of('main') }}")
    places = [html.index(f' name="{field.name}"') for field in FIELDS if field.asked]
    assert places == sorted(places) and 'name="silent"' not in html


def test_a_name_that_is_not_in_the_list_is_an_error():
    with pytest.raises(UndefinedError):
        _render("{{ field('beam') }}")


def test_a_rating_has_its_five_steps_between_its_ends():
    html = _render("{{ field('ride') }}", fields=[Field("ride", "Ride", "rating", ends=("wet", "dry"))])
    assert [f'name="ride" value="{step}"' in html for step in range(1, 7)] == [True] * 5 + [False]
    assert html.index("wet") < html.index('value="1"') < html.index('value="5"') < html.index("dry")


def test_in_a_row_the_name_begins_with_the_row_and_the_word_for_an_open_choice_is_the_forms():
    html = _render("{{ field('screws', {'blank': 'not known'}, at='r1') }}")
    assert 'name="r1_screws"' in html and '<option value="">not known</option>' in html and "needed" not in html


def test_a_list_of_another_name_and_one_line_for_a_long_text():
    html = _render("{{ fields_of('main', {'notes': {'kind': 'text'}}, of=sheet.others) }}")
    assert 'name="notes" type="text"' in html and "<textarea" not in html and 'name="kind"' not in html
