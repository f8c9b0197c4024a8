"""Values of settings as a state keeps them, and the words for them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.hulls.store import hull
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.own_fields.at_hand import forget, own
from garage.own_fields.tables import OwnField
from garage.runs import rests_store
from garage.states.gather import sheet_beside
from garage.states.mending_forms import SlipFormData
from garage.states.mending_store import mend, notes_mended
from garage.states.own_store import own_settings
from garage.states.query_store import changes_of
from garage.states.settings_list import name_at
from garage.states.store import ensure_first_state
from garage.states.visit_forms import balance_value
from garage.states.wording import step_text
from garage.units import DisplayUnits
from tests.states.boat import NOW, make_boat, set_to

HULL = Hull(name="Quince", kind="mono", length_mm=740.0, created_at=NOW.utc)


@pytest.mark.parametrize(
    ("mm", "percent", "typed", "kept"),
    [(222.0, None, "mm", (222.0, 30.0)), (None, 30.0, "percent", (222.0, 30.0)), (220.0, 30.0, "both", (220.0, 30.0))],
)
def test_of_a_balance_point_what_was_not_typed_is_worked_out_and_what_was_stays(mm, percent, typed, kept):
    value = balance_value(mm, percent, HULL)
    assert (value["typed"], (value["mm"], value["percent"])) == (typed, kept)
    # What the other was worked out from is kept only where something was.
    assert value.get("length_mm") == (None if typed == "both" else 740.0)


def test_a_balance_point_of_a_hull_of_unknown_length_stays_as_typed():
    unknown = Hull(name="Quince", kind="mono", created_at=NOW.utc)
    value = balance_value(222.0, None, unknown)
    assert (value["mm"], value["percent"], value["typed"]) == (222.0, None, "mm") and "length_mm" not in value


@given(st.floats(1, 700))
def test_a_balance_point_typed_in_mm_and_one_in_percent_of_it_are_one_place(mm):
    percent = balance_value(mm, None, HULL)["percent"]
    assert balance_value(None, percent, HULL)["mm"] == pytest.approx(mm, abs=0.01)


@pytest.mark.parametrize(
    ("key", "place", "words"),
    [
        ("strut_height", "single", "Strut height"),
        ("strut_height", "left", "Strut height, left"),
        ("of_long_ago", "single", "of long ago"),
        ("of_long_ago", "right", "of long ago, right"),
    ],
)
def test_a_setting_is_named_with_its_side_where_it_has_one(key, place, words):
    assert name_at(key, place) == words


@pytest.mark.parametrize(("count", "said"), [(None, False), (0, False), (1, False), (2, True), (3, True)])
def test_a_step_says_how_many_only_where_there_are_several(count, said):
    words = step_text({"action": "add", "what": "strip", "length_mm": 120.0, "count": count})
    assert words.startswith("add strip") and "120" in words
    assert (f"{count} of them" in words) == said and ("of them" in words) == said


@pytest.mark.parametrize("asked", [NOW.utc, "2026-03-20T08:00:00Z"])
def test_a_hull_of_unknown_age_begins_with_what_came_first_of_its_page_and_what_is_written_of_it(session, asked):
    written = hull(session, make_boat(session, built_on="").hull_id)
    first = ensure_first_state(session, written, Moment(asked, 0))
    assert first.made_at == min(written.created_at, asked)


def test_a_state_is_shown_beside_what_the_boat_is_in_now_where_she_is_in_another(session):
    boat = make_boat(session)
    then, now = boat.visit(set_to(3.0), day=2), boat.visit(set_to(4.0), day=3)
    kept, shown = hull(session, boat.hull_id), DisplayUnits()
    sheet, differs = sheet_beside(session, kept, then, now, shown, rests_store)
    assert (sheet.number, sheet.is_current, differs is None) == (then.number, False, False)
    assert "4" in str(differs) and "3" in str(differs)
    alone, nothing = sheet_beside(session, kept, then, None, shown, rests_store)
    assert alone.number == then.number and nothing is None


def test_slips_in_a_note_and_in_the_value_of_a_change_are_told_apart(session):
    boat = make_boat(session)
    state = boat.visit(set_to(3.0), day=2)
    [change] = changes_of(session, [state.id])[state.id]
    mend(session, state, SlipFormData("strut_height", "single", 3.5, None, "", "misread"), NOW)
    mend(session, state, SlipFormData("", "single", None, change.id, "by the rule", "misread"), NOW)
    mend(session, state, SlipFormData("", "single", None, None, "of the state", "misread"), NOW)
    told = {key: [row.new for row in rows] for key, rows in notes_mended(session, state, [change]).items()}
    assert told == {
        f"value:{change.id}": ["3.5"], f"change:{change.id}": ["by the rule"], "state": ["of the state"],
    }  # fmt: skip


def test_own_settings_are_those_of_the_state_each_boat_is_in_now(session):
    own_field = {"thing": "hull", "name": "guard", "label": "Weed guard", "kind": "number", "created_at": NOW.utc}
    session.add(OwnField(**own_field))
    session.flush()
    forget(session)
    boat, bare = make_boat(session), make_boat(session, name="Medlar")
    [field] = own("hull")
    for day, value in ((2, 3), (3, 5)):
        boat.visit(set_to(value, field.column), day=day)
    found = own_settings(session, [boat.hull_id, bare.hull_id])
    assert {hull_id: getattr(row, field.column) for hull_id, row in found.items()} == {
        boat.hull_id: 5, bare.hull_id: None,
    }  # fmt: skip
