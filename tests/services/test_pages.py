"""Service: written down, set aside, brought back, and the rules of when it is due."""

import html
import re

import pytest

from garage.db.engine import writing
from garage.services.fields import SERVICE_KINDS
from garage.services.store import last_services, service_rules
from tests.forms import read_page
from tests.states.boat import make_boat


@pytest.fixture
def boat_id(app) -> int:
    with writing(app.state.engine) as session:
        return make_boat(session).hull_id


def _post(client, boat_id: int, **fields: str):
    good = {"kind": "greased", "place": "single", "at": "2026-05-09T12:00", "note": ""}
    return client.post(f"/hulls/{boat_id}/service/new", data=good | fields, follow_redirects=False)


def _last(app, boat_id: int, kind: str = "greased"):
    with writing(app.state.engine) as session:
        return last_services(session, [(boat_id, kind, "")], "9999")[boat_id, kind, ""].last


def test_a_service_counts_until_it_is_set_aside_and_again_when_brought_back(client, app, boat_id):
    assert _post(client, boat_id).status_code == 303
    kept = _last(app, boat_id)
    assert kept is not None
    client.post(f"/service/{kept.id}/aside")
    assert _last(app, boat_id) is None
    assert "set aside" in client.get(f"/hulls/{boat_id}/service").text
    client.post(f"/service/{kept.id}/return")
    assert _last(app, boat_id).id == kept.id


def test_the_last_service_is_the_latest_of_its_kind_before_a_time(client, app, boat_id):
    for day in ("07", "08", "09"):
        _post(client, boat_id, at=f"2026-05-{day}T12:00")
    _post(client, boat_id, kind="cleaned", at="2026-05-09T13:00")
    with writing(app.state.engine) as session:
        asked = (boat_id, "greased", "")
        assert last_services(session, [asked], "2026-05-08T23:00:00Z")[asked].last.moment.utc[:10] == "2026-05-08"


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"kind": ""}, "kind"),
        ({"kind": "🚤"}, "kind"),
        ({"place": "middle"}, "place"),
        ({"at": ""}, "at"),
        ({"at": "2027-01-01T10:00"}, "at"),
        ({"at": "soon"}, "at"),
        ({"at": "2026-03-31T10:00"}, "at"),
        ({"note": "x" * 10_000}, "note"),
        ({"kind": "other", "note": ""}, "note"),
    ],
)
def test_wrong_input_gives_a_message_by_the_field(client, app, boat_id, fields, field):
    answer = _post(client, boat_id, **{"note": "play in the strut", **fields})
    assert answer.status_code == 422 and f'id="e-{field}"' in answer.text
    if "note" not in fields:
        assert "play in the strut" in answer.text
    assert _last(app, boat_id) is None


def test_grease_is_due_after_three_runs_until_the_person_says_otherwise(client, app, boat_id):
    with writing(app.state.engine) as session:
        assert [(rule.kind, rule.runs) for rule in service_rules(session, boat_id)] == [("greased", 3)]
    client.post(f"/hulls/{boat_id}/service/rules", data={"greased_runs": "", "shaft_looked_at_minutes": "1 h"})
    with writing(app.state.engine) as session:
        rules = {rule.kind: (rule.runs, rule.minutes) for rule in service_rules(session, boat_id)}
    assert rules == {"shaft looked at": (None, 60)}


@pytest.mark.parametrize("typed", ["0", "-1", "2.5", "many", "🚤", "9" * 30, "x" * 10_000])
def test_a_rule_that_is_no_count_is_said_and_kept_on_the_page(client, boat_id, typed):
    answer = client.post(f"/hulls/{boat_id}/service/rules", data={"greased_runs": typed, "cleaned_runs": "7"})
    assert answer.status_code == 422 and 'id="e-greased_runs"' in answer.text
    assert html.escape(typed) in answer.text and 'value="7"' in answer.text


def test_the_link_of_a_due_service_chooses_its_kind(client, boat_id):
    page = client.get(f"/hulls/{boat_id}/service/new?kind=greased").text
    assert re.search(r'value="greased" checked', page)


def test_the_rules_of_every_kind_are_asked_for(client, boat_id):
    forms, _ = read_page(client.get(f"/hulls/{boat_id}/service/rules").text, "")
    asked = {name for form in forms for name in form.fields}
    names = {f"{kind.replace(' ', '_')}_{name}" for kind in SERVICE_KINDS[:-1] for name in ("runs", "minutes")}
    assert names and names <= asked
