"""Values of settings as a state keeps them, and the words for them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.hulls.store import hull
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.states.settings_list import name_at
from garage.states.store import ensure_first_state
from garage.states.visit_forms import balance_value
from garage.states.wording import step_text
from tests.states.boat import NOW, make_boat

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
