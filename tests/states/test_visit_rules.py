"""What a visit to the workshop is held against: what moves along, what was elsewhere, what was typed again."""

from dataclasses import replace
from types import SimpleNamespace as Made

import pytest

from garage.drives.store import part_spec
from garage.drives.tables import Part
from garage.hulls.tables import Hull
from garage.states.change_store import _completed
from garage.states.fold import EMPTY, ChangeFormData, DoesNotFit
from garage.states.past_store import _refuse_parts_then_elsewhere
from garage.states.visit_forms import _ask_for_both, _balance
from garage.states.wording import setting_text
from tests.seeded import at, with_history

HULL = Hull(name="Medlar", kind="mono", length_mm=742, screws=1)


def _asked_for(setting: str, value: float | None, written: set[str]) -> list[tuple[str, str]]:
    """The fields that are asked for beside a setting that was measured, with the words."""
    told: list[tuple[str, str]] = []
    reader = Made(fail=lambda field, words: told.append((field, words)))
    _ask_for_both(reader, HULL, [ChangeFormData("set", setting=setting, detail={"value": value})], written)
    return told


@pytest.mark.parametrize(("setting", "word"), [("strut_height", "angle"), ("strut_angle", "height")])
def test_on_a_fixed_tube_height_and_angle_of_a_strut_are_measured_together(setting, word):
    [(field, words)] = _asked_for(setting, 4.0, {f"{setting}@single"})
    assert f"the strut’s {word} moves along" in words and word in field
    assert _asked_for(setting, None, set()) == _asked_for("rudder_trim", 1.0, set()) == []
    assert _asked_for(setting, 4.0, {"strut_height@single", "strut_angle@single"}) == []


@pytest.mark.parametrize(
    ("mm", "percent", "is_kept"), [(None, 31.0, True), (230.0, None, True), (230.0, 31.0, True), (None, 32.0, False)]
)
def test_a_balance_point_that_says_the_same_stays_what_it_was(mm, percent, is_kept):
    typed = {"length": mm, "percent": percent}
    reader = Made(quantity=lambda name, kind, low, high: typed[kind], fail=lambda *told: None, errors={})
    now = {"percent": 31.0, "mm": 230.0, "typed": "percent", "datum": "somewhere", "length_mm": 742}
    if is_kept:
        found = _balance(reader, HULL, now)
        assert found == now and found is not now
    typed = {"length": None, "percent": None}
    assert _balance(reader, HULL, now) is None


def test_a_part_that_was_in_another_hull_at_that_time_is_not_put_in(session):
    garage = with_history(session)
    motor = session.get(Part, 1)
    put_in = ChangeFormData("install", part_id=motor.id, detail=part_spec(motor))
    with pytest.raises(DoesNotFit, match="was in Medlar at that time"):
        _refuse_parts_then_elsewhere(session, garage.hulls["Quince"], [put_in], at("04-01"))
    _refuse_parts_then_elsewhere(session, garage.hulls["Quince"], [put_in], at("03-05"))
    taken_out = ChangeFormData("take out", part_id=motor.id)
    _refuse_parts_then_elsewhere(session, garage.hulls["Quince"], [taken_out], at("04-01"))


def test_a_part_that_is_taken_out_is_told_as_it_stood():
    there = {"motor@single": {"part_id": 3, "kind": "motor", "name": "red can"}}
    content = replace(EMPTY, parts=there)
    out = ChangeFormData("take out", part_id=3)
    assert _completed(content, out, {}).detail == there["motor@single"]
    assert _completed(content, replace(out, part_id=9), {}).part_id == 9
    assert _completed(content, replace(out, part_id=None), {}) == replace(out, part_id=None)
    put_in = ChangeFormData("install", part_id=3)
    assert _completed(content, put_in, {}) == put_in


@pytest.mark.parametrize(
    ("key", "value", "text"),
    [
        ("strut_height", None, "not known"), ("strut_height", 4.0, "4 mm"), ("strut_height", "by feel", "by feel"),
        ("balance_point", "by feel", "by feel"), ("strut_height", {"percent": 31.0}, "{'percent': 31.0}"),
    ],
)  # fmt: skip
def test_a_setting_in_words_is_a_balance_point_only_where_it_is_one(key, value, text):
    assert setting_text(key, value).startswith(text)
