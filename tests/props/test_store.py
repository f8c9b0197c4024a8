"""How other rooms find and name props."""

import pytest

from garage.db.engine import reading
from garage.props import store


@pytest.fixture
def three_props(client, app):
    for code, size in (("P2", "42 x 58"), ("P10", "1 5/8 x 2 1/4"), ("Q", "642")):
        client.post(
            "/props/new",
            data={"code": code, "size": size, "blades": "2", "hand": "right", "condition": "good"},
        )
    rework = {"reworks": "cut down", "diameter": "40", "condition": "good", "made": "2026-05-09T10:00"}
    client.post("/props/1/rework", data=rework)
    return app


def test_the_latest_edition_of_each_prop_is_offered_in_the_order_of_codes(three_props):
    with reading(three_props.state.engine) as session:
        texts = [edition.text for edition in store.latest_editions(session, limit=10)]
    assert texts == ["Q ed. 1, 42 × 67.2", "P2 ed. 2, 40 × 58", "P10 ed. 1, 41.3 × 57.1"]


def test_a_size_is_told_in_the_length_preferred_with_its_unit(three_props, client):
    client.post("/preferences", data={"unit_length": "in"})
    with reading(three_props.state.engine) as session:
        texts = [edition.text for edition in store.latest_editions(session, limit=10)]
    # 42 mm = 1.65 in, 67.2 mm = 2.65 in (1 in = 25.4 mm exactly: NIST SP 811, appendix B)
    assert texts == ["Q ed. 1, 1.65 × 2.65 in", "P2 ed. 2, 1.57 × 2.28 in", "P10 ed. 1, 1.62 × 2.25 in"]


def test_an_older_edition_keeps_its_own_figures(three_props):
    with reading(three_props.state.engine) as session:
        first = store.edition(session, 1, 1)
        text = store.edition_texts(session, {first.id})[first.id]
    assert (text.text, text.diameter_mm, text.ratio) == ("P2 ed. 1, 42 × 58", 42, pytest.approx(58 / 42))


def test_a_prop_is_found_by_its_code_in_any_case_and_by_nothing_else(three_props):
    with reading(three_props.state.engine) as session:
        assert store.edition_by_code(session, " p2 ").number == 2
        assert store.edition_by_code(session, "P") is None and store.edition_by_code(session, "%") is None
        assert store.edition_texts(session, set()) == {}


def test_a_retired_prop_is_not_offered_but_still_named(three_props, client):
    client.post("/props/3/retire", data={"retired_on": "2026-05-09", "retired_how": "lost"})
    with reading(three_props.state.engine) as session:
        assert {edition.code for edition in store.latest_editions(session, limit=10)} == {"P2", "P10"}
        assert store.edition_by_code(session, "Q") is not None
