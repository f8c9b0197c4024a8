"""What an edit form showed comes back with it: what was left alone follows, what both changed is asked about."""

from hypothesis import given
from hypothesis import strategies as st

from garage.web.shown import THEIRS, FormShown, merge, read_shown, shown

NAMES = st.sampled_from("abcd")
TEXTS = st.lists(st.sampled_from(["1", "2", "3"]), max_size=1)
FORMS = st.dictionaries(NAMES, TEXTS)


def _plain(texts: dict, name: str) -> list[str]:
    return [text for text in texts.get(name, []) if text]


@given(FORMS, FORMS, FORMS)
def test_a_field_changed_on_one_side_only_is_as_that_side_left_it(mine, was, now):
    texts, both = merge(mine, was, now)
    for name in {**was, **now}:
        if _plain(mine, name) == was.get(name, []):
            assert _plain(texts, name) == now.get(name, [])
        elif now.get(name, []) == was.get(name, []):
            assert _plain(texts, name) == _plain(mine, name)


@given(FORMS, FORMS, FORMS)
def test_only_what_both_changed_to_something_else_is_asked_about_and_keeps_what_was_typed(mine, was, now):
    texts, both = merge(mine, was, now)
    for name in {**was, **now}:
        differ = len({tuple(_plain(form, name)) for form in (mine, was, now)}) == 3
        assert (name in both) == differ
        if differ:
            assert both[name] == now.get(name, []) and _plain(texts, name) == _plain(mine, name)


@given(FORMS, FORMS, FORMS)
def test_each_that_is_asked_about_may_be_answered_with_the_others(mine, was, now):
    _, both = merge(mine, was, now)
    texts, left = merge(mine | {THEIRS + name: ["yes"] for name in both}, was, now)
    assert not left and all(_plain(texts, name) == both[name] for name in both)
    assert not any(name.startswith(THEIRS) for name in texts)


@given(FORMS)
def test_where_nothing_was_written_meanwhile_the_form_stays_as_it_was_sent(mine):
    was = {"a": ["1"], "e": []}
    texts, both = merge(mine, was, was)
    assert not both and {name: _plain(texts, name) for name in "abcde"} == {
        name: _plain(mine, name) for name in "abcde"
    }


def test_the_ends_of_lines_and_of_texts_make_no_difference():
    texts, both = merge({"a": ["one\r\ntwo "]}, {"a": ["one\ntwo"]}, {"a": ["three"]})
    assert (texts, both) == ({"a": ["three"]}, {})


def test_what_a_form_showed_is_read_back_as_it_was_written():
    wrote = shown("0123abcd:7", {"note": "“Äpfel” <b>", "tags": ["1", "2"], "empty": "", "open": None})
    assert read_shown([wrote.written()]) == wrote
    assert wrote.values == {"note": ["“Äpfel” <b>"], "tags": ["1", "2"], "empty": [], "open": []}


def test_what_is_none_of_ours_is_nothing():
    hostile = ["", "{", "[]", '["x:1", {}]', '["0123abcd:1", []]', "[" * 20_000, '[7, {"a": "b"}]', "null"]
    hostile += ['["0123abcd:1", {"a": "\\ud800"}]', '["0123abcd:1", {"\\ud800": "b"}]']
    assert [read_shown([text]) for text in hostile] == [None] * len(hostile)
    assert read_shown(['["0123abcd:1", {"a": {"b": 1}}]']) == FormShown("0123abcd:1", {"a": ["{'b': 1}"]})
