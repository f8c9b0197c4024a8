"""Units preferred: chosen in one place, seen on every page at once, kept over a start."""

import pytest

from garage.app import create_app
from garage.preferences.forms import FIELD_NAMES
from garage.units import KINDS, DisplayUnits


def test_every_field_of_measure_with_a_choice_of_units_can_be_chosen():
    assert set(FIELD_NAMES) == {name for name, kind in KINDS.items() if len(kind.units) > 1}


def test_imperial_for_all_shows_at_once_and_metric_again(client, app):
    client.post("/hulls/new", data={"name": "Heron", "kind": "mono", "screws": "1", "length": "762 mm"})
    assert "762<" in client.get("/hulls").text
    client.post("/preferences/imperial")
    # 762 mm = 30 in exactly (1 in = 25.4 mm: NIST SP 811, appendix B)
    assert '30<span class="unit">in</span>' in client.get("/hulls").text
    assert app.state.units == DisplayUnits.imperial()
    client.post("/preferences/metric")
    assert "762<" in client.get("/hulls").text


def test_each_field_of_measure_by_itself(client, app):
    page = client.post("/preferences", data={"unit_speed": "kn", "unit_mass": "oz"})
    assert page.status_code == 200
    assert (app.state.units["speed"], app.state.units["mass"]) == ("kn", "oz")
    assert app.state.units["length"] == "mm"
    assert '<option value="kn" selected>' in page.text


def test_units_outlive_a_start(client, app):
    client.post("/preferences", data={"unit_speed": "mph"})
    again = create_app(app.state.settings)
    assert again.state.units["speed"] == "mph"


@pytest.mark.parametrize("unit", ["furlong", "mm", "🚤", "x" * 10_000])
def test_a_unit_that_does_not_belong_there_is_refused_at_its_field_and_nothing_changes(client, app, unit):
    answer = client.post("/preferences", data={"unit_speed": unit, "unit_mass": "oz"})
    assert answer.status_code == 422
    assert 'id="e-unit_speed"' in answer.text
    assert '<option value="oz" selected>' in answer.text
    assert app.state.units == DisplayUnits.metric()


def test_how_a_screen_looks_is_kept_on_it_and_taken_back_to_what_it_was(client):
    assert 'class="bright"' in client.post("/preferences/screen", data={"screen": "bright"}).text
    page = client.post("/preferences/screen", data={"screen": "water"}).text
    assert 'action="/preferences/screen/bright"' in page
    client.post("/preferences/screen/bright")
    assert 'class="bright"' in client.get("/").text
    client.post("/preferences/screen/usual")
    assert 'class="bright"' not in client.get("/").text
    assert client.post("/preferences/screen", data={"screen": "rosy"}).status_code == 422
