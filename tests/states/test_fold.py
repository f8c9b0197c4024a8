"""The fold of changes: the same however it is taken, undone exactly, and refused in words."""

import hashlib
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.states.fold import (
    EMPTY,
    ChangeFormData,
    DoesNotFit,
    apply,
    canonical,
    content_text,
    fingerprint,
    fold,
    read_content,
    short,
)

PLACES = ("single", "left", "right")
KINDS = ("motor", "strut", "servo", "trim tab", "other")

numbers = st.floats(-500, 500, allow_nan=False).map(lambda number: round(number, 4))
texts = st.text(st.characters(exclude_categories=("Cs",)), max_size=20)
fits = st.builds(
    lambda number, title, mass: ChangeFormData(
        "fit", modification_id=number, detail={"title": title, "mass_g": mass, "steps": [{"length_mm": mass}]}
    ),
    st.integers(1, 4), texts, numbers,
)  # fmt: skip
installs = st.builds(
    lambda number, place: ChangeFormData(
        "install", place, part_id=number, detail={"kind": KINDS[number % len(KINDS)], "code": f"X{number}"}
    ),
    st.integers(1, 6), st.sampled_from(PLACES),
)  # fmt: skip
sets = st.builds(
    lambda key, place, value: ChangeFormData("set", place, setting=key, detail={"value": value}),
    st.sampled_from(("strut_height", "strut_angle", "servo")), st.sampled_from(PLACES),
    numbers | texts | st.none(),
)  # fmt: skip
damages = st.builds(
    lambda what, place: ChangeFormData("damage", place, detail={"what": what}),
    st.sampled_from(("bracket", "fin @ stern")), st.sampled_from(PLACES),
)  # fmt: skip


def _away(change: ChangeFormData) -> ChangeFormData:
    """What takes a change back."""
    kinds = {"fit": "take off", "install": "take out", "damage": "repair"}
    return ChangeFormData(
        kinds[change.kind], change.place, change.modification_id, change.part_id, detail=change.detail
    )


additions = st.one_of(fits, installs, damages)
any_change = st.one_of(additions, sets, additions.map(_away))


def _valid(changes):
    """Those of `changes` that fit, one after the other."""
    content, kept = EMPTY, []
    for change in changes:
        try:
            content = apply(content, change)
        except DoesNotFit as error:
            assert str(error)
            continue
        kept.append(change)
    return kept, content


sequences = st.lists(any_change, max_size=25).map(_valid)


@given(sequences, st.data())
def test_any_sequence_folds_to_the_same_in_one_pass_and_step_by_step(sequence, data):
    changes, content = sequence
    cut = data.draw(st.integers(0, len(changes)))
    assert fold(changes) == content
    assert fold(changes[cut:], fold(changes[:cut])) == content
    assert fingerprint(fold(changes)) == fingerprint(content)


@given(sequences)
def test_what_is_stored_reads_back_as_the_same_content_with_the_same_fingerprint(sequence):
    _, content = sequence
    back = read_content(content_text(content))
    assert back == content and fingerprint(back) == fingerprint(content)


@given(sequences, additions)
def test_taking_off_what_was_fitted_restores_content_and_fingerprint(sequence, addition):
    _, content = sequence
    try:
        more = apply(content, addition)
    except DoesNotFit:
        return
    assert fingerprint(more) != fingerprint(content)
    back = apply(more, _away(addition))
    assert back == content and fingerprint(back) == fingerprint(content)


@given(sequences, additions, additions)
def test_two_changes_that_do_not_touch_each_other_lead_to_the_same_in_either_order(sequence, one, other):
    _, content = sequence
    try:
        forth = fold([one, other], content)
    except DoesNotFit:
        return
    assert fold([other, one], content) == forth


def test_the_later_of_two_settings_wins_so_their_order_matters():
    low, high = (ChangeFormData("set", setting="strut_height", detail={"value": value}) for value in (3.0, 9.0))
    assert fold([low, high]).settings["strut_height@single"] == 9.0
    assert fold([high, low]).settings["strut_height@single"] == 3.0


def test_the_fingerprint_is_sha256_of_sorted_json_without_spaces():
    content = fold([ChangeFormData("set", setting="strut_height", detail={"value": 12})])
    expected = '{"damage":{},"fitted":{},"parts":{},"settings":{"strut_height@single":12.0}}'
    assert content_text(content) == expected
    assert json.loads(expected) == json.loads(content_text(content))
    assert fingerprint(content) == hashlib.sha256(expected.encode()).hexdigest()
    assert short(fingerprint(content)) == hashlib.sha256(expected.encode()).hexdigest()[:8]


def test_whole_numbers_and_minus_nothing_have_no_fingerprints_of_their_own():
    whole, broken = (fold([ChangeFormData("set", setting="x", detail={"value": value})]) for value in (3, 3.0))
    assert fingerprint(whole) == fingerprint(broken)
    assert canonical({"x": -0.0}) == canonical({"x": 0.0})


def test_numbers_that_are_none_are_refused():
    with pytest.raises(ValueError):
        canonical({"x": float("nan")})


@pytest.mark.parametrize(
    ("before", "change", "words"),
    [
        ([ChangeFormData("fit", modification_id=1, detail={"title": "Fin"})],
         ChangeFormData("fit", modification_id=1, detail={"title": "Fin"}), "Fin is fitted already"),
        ([], ChangeFormData("take off", modification_id=1, detail={"title": "Fin"}), "Fin is not fitted"),
        ([], ChangeFormData("rework", modification_id=1, detail={"title": "Fin"}), "Fin is not fitted"),
        ([ChangeFormData("install", "left", part_id=1, detail={"kind": "motor", "name": "Blue"})],
         ChangeFormData("install", "left", part_id=2, detail={"kind": "motor", "name": "Red"}),
         "Blue is installed on the left as motor"),
        ([ChangeFormData("install", "left", part_id=1, detail={"kind": "motor", "name": "Blue"})],
         ChangeFormData("install", "right", part_id=1, detail={"kind": "motor", "name": "Blue"}),
         "Blue is on the boat already on the left"),
        ([], ChangeFormData("take out", part_id=1, detail={"name": "Blue"}), "Blue is not on the boat"),
        ([ChangeFormData("damage", detail={"what": "bracket"})],
         ChangeFormData("damage", detail={"what": "bracket"}),
         "“bracket” is written down"),
        ([], ChangeFormData("repair", detail={"what": "bracket"}), "“bracket” is not among"),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_refused_in_words(before, change, words):
    with pytest.raises(DoesNotFit, match=words):
        apply(fold(before), change)


def test_a_boat_carries_two_servos_at_one_place_but_one_motor():
    servos = [ChangeFormData("install", part_id=number, detail={"kind": "servo"}) for number in (1, 2)]
    assert set(fold(servos).parts) == {"servo#1@single", "servo#2@single"}
    with pytest.raises(DoesNotFit):
        fold([ChangeFormData("install", part_id=number, detail={"kind": "motor"}) for number in (1, 2)])
