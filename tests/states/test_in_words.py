"""Changes, differences and contents in words, each by hand."""

import pytest

from garage.measures import Measure
from garage.states.content_sheets import content_sheet, setting_line
from garage.states.fold import EMPTY, ChangeFormData, Content
from garage.states.wording import change_text, differences, part_name, setting_text, step_text
from garage.units import DisplayUnits

METRIC = DisplayUnits.metric()
BALANCE = {"mm": 240.0, "percent": 30.0, "datum": "the transom", "typed": "mm", "length_mm": 800.0}
TABS = {
    "title": "Trim tabs", "trial": True, "permanence": "removable", "mass_g": 12.5, "mass_from": "weighed",
    "steps": [{"action": "add", "what": "tab", "section": "flat", "width_mm": 30.0, "wall_mm": 1.0, "length_mm": 40.0}],
}  # fmt: skip
MOTOR = {
    "kind": "motor",
    "part_id": 4,
    "code": "M4",
    "name": "blue can",
    "mass_g": 210.0,
    "kv_stated": 1700,
    "poles": 4,
}


@pytest.mark.parametrize(
    ("step", "words"),
    [
        ({"action": "cut"}, "cut"),
        ({"action": "add", "what": "strip", "material": "brass", "section": "tube", "diameter_mm": 4.0, "wall_mm": 0.5,
          "length_mm": 120.0, "count": 2, "adhesive": "epoxy", "finish": "sanded"},
         "add strip, brass, tube 4 mm × 0.5 mm, 120 mm long, 2 of them, epoxy, sanded"),
        ({"action": "fill", "area_mm2": 200.0}, "fill, 200 mm²"), ({"what": "", "length_mm": 0.0}, "0 mm long"),
        ({}, ""),
    ],
)  # fmt: skip
def test_a_step_is_said_with_material_and_dimensions(step, words):
    assert step_text(step).replace("\u202f", " ") == words


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (ChangeFormData("fit", modification_id=1, detail=TABS), "Trim tabs fitted"),
        (ChangeFormData("take off", modification_id=1), "a modification taken off"),
        (ChangeFormData("rework", modification_id=1, detail=TABS), "Trim tabs reworked"),
        (ChangeFormData("install", "left", part_id=4, detail=MOTOR), "M4 motor, blue can installed, left"),
        (ChangeFormData("take out", part_id=4, detail={"text": "an old motor"}), "an old motor taken out"),
        (ChangeFormData("install", part_id=4), "part installed"),
        (ChangeFormData("set", setting="strut_height", detail={"value": 4.0}), "Strut height set to 4 mm"),
        (ChangeFormData("set", "left", setting="strut_height", detail={"value": 4.0, "was": 0.0}),
         "Strut height, left set to 4 mm (was 0 mm)"),
        (ChangeFormData("set", setting="ballast", detail={"value": None, "was": "20 g"}),
         "Ballast set to not known (was 20 g)"),
        (ChangeFormData("damage", "right", detail={"what": "fin bent"}), "Damage: fin bent, right"),
        (ChangeFormData("repair", detail={"what": "fin bent"}), "Repaired: fin bent"),
    ],
)  # fmt: skip
def test_a_change_is_one_phrase(change, words):
    assert change_text(change) == words


def test_settings_are_said_in_the_units_preferred():
    assert setting_text("balance_point", BALANCE) == "30 %, 240 mm from the transom"
    assert setting_text("balance_point", BALANCE | {"percent": None}) == "240 mm from the transom"
    assert setting_text("of_old", 7) == "7" and setting_text("servo", "S3") == "S3"
    # An inch is 25.4 mm, exact by definition.
    assert setting_text("strut_height", 25.4, DisplayUnits.imperial()).startswith("1")
    assert part_name({"code": "M4", "name": "blue"}) == "M4, blue" and part_name({}) == "part"


def test_two_contents_differ_in_what_is_on_one_and_not_on_the_other():
    stood = {"strut_height@single": 3.0, "servo@single": "S1"}
    before = Content({"1": TABS}, {"motor@single": MOTOR}, stood, {"fin@left": True})
    after = Content(
        {"1": TABS | {"mass_g": None}, "2": {"title": "Fin"}}, {"servo#7@left": {"kind": "servo", "part_id": 7}},
        stood | {"strut_height@single": 2.0}, {"keel@single": True},
    )  # fmt: skip
    assert differences(before, before) == [] == differences(EMPTY, EMPTY)
    told = differences(before, after)
    assert [(one.group, one.what, one.before, one.after) for one in told] == [
        ("modification", "Trim tabs", "fitted: add tab, flat 30 mm × 1 mm, 40 mm long",
         "fitted: add tab, flat 30 mm × 1 mm, 40 mm long"),
        ("modification", "Fin", "not fitted", "fitted"),
        ("hardware", "Motor", "M4 motor, blue can", "none"), ("hardware", "Servo, left", "none", "servo"),
        ("setting", "Strut height", "3 mm", "2 mm"),
        ("damage", "fin, left", "damaged", "whole"), ("damage", "keel", "whole", "damaged"),
    ]  # fmt: skip
    assert told[4].sentence == "Strut height: 3 mm, then 2 mm"
    masses = [(one.mass_before and one.mass_before.value, one.mass_after and one.mass_after.value) for one in told]
    assert masses[:4] == [(12.5, None), (None, None), (210.0, None), (None, None)]
    assert told[0].mass_after == Measure(None, "mass") and told[1].mass_before is None and told[2].mass_after is None
    assert told[0].mass_before.origin == "weighed" and told[2].mass_before.origin == "weighed or stated"


def test_everything_on_a_boat_is_listed_with_how_it_is_known():
    content = Content(
        {"1": TABS, "2": {}}, {"motor@left": MOTOR, "servo#7@single": {"kind": "servo", "part_id": 7}},
        {"servo@single": "S1", "strut_height@left": 3.0, "of_old@single": 2, "running_mass@single": 2100.0,
         "motor_timing@left": 15, "balance_point@single": BALANCE},
        {"keel@single": True, "fin@left": True},
    )  # fmt: skip
    sheet = content_sheet(content, METRIC, {})
    first, second = sheet.fitted
    assert (first.modification_id, first.title, first.trial, first.permanence) == (1, "Trim tabs", True, "removable")
    assert (second.title, second.trial, second.permanence, second.steps) == ("Modification", False, "", [])
    assert len(first.steps) == 1 and (first.mass.value, first.mass.origin) == (12.5, "weighed")
    motor, servo = sheet.parts
    assert (motor.part_id, motor.kind, motor.place, motor.text) == (4, "motor", "left", "M4 motor, blue can")
    assert dict(motor.figures)["Kv stated"].value == 1700 and dict(motor.figures)["Poles"] == "4"
    # Its mass stands by itself.
    assert len(motor.figures) == 2 and servo.figures == [] and servo.place == "single"
    assert (sheet.mass_added.value, sheet.mass_added.caution) == (222.5, "2 not known yet")
    assert sheet.mass_added.origin == "sum of the 2 known here, without the bare hull"
    assert [(line.what, line.place) for line in sheet.damage] == [("fin", "left"), ("keel", "single")]
    told = [(group.name, [(line.key, line.place) for line in group.lines]) for group in sheet.settings]
    assert told == [
        ("Strut and shaft", [("strut_height", "left")]),
        ("Balance and mass", [("balance_point", "single"), ("running_mass", "single")]),
        ("Motor and controller", [("motor_timing", "left")]), ("Radio", [("servo", "single")]),
        ("", [("of_old", "single")]),
    ]  # fmt: skip
    lines = {line.key: line for group in sheet.settings for line in group.lines}
    assert {key: line.measures[0].origin for key, line in lines.items() if line.measures} == {
        "strut_height": "measured", "running_mass": "weighed", "motor_timing": "as set",
        "balance_point": "computed from the other and the hull's length of 800 mm",
    }  # fmt: skip
    assert (lines["servo"].text, lines["of_old"].text, lines["strut_height"].text) == ("S1", "2", "")
    assert lines["balance_point"].datum == "from the transom" and lines["servo"].datum == ""
    assert lines["strut_height"].datum and lines["of_old"].datum == ""
    assert not sheet.is_empty and content_sheet(EMPTY, METRIC).is_empty
    assert content_sheet(EMPTY, METRIC).mass_added == Measure(None, "mass")
    for part in (Content({"1": TABS}), Content(damage={"keel@single": True}), Content(parts={"motor@left": MOTOR}),
                 Content(settings={"servo@single": "S1"})):  # fmt: skip
        assert not content_sheet(part, METRIC).is_empty
    assert content_sheet(Content({"1": TABS}), METRIC).mass_added.caution == ""


@pytest.mark.parametrize(
    ("typed", "origins"),
    [("mm", ("computed", "measured")), ("percent", ("measured", "computed")), ("both", ("measured both ways",) * 2)],
)
def test_of_a_balance_point_it_is_told_which_figure_was_measured(typed, origins):
    value = {name: of for name, of in BALANCE.items() if name != "length_mm"} | {"typed": typed}
    line = setting_line("balance_point@single", value, METRIC, [])
    assert [(one.value, one.kind, one.origin) for one in line.measures] == [
        (30.0, "percent", origins[0]), (240.0, "length", origins[1])
    ]  # fmt: skip
    lone = setting_line("balance_point@single", value | {"mm": None}, METRIC, [])
    assert [one.kind for one in lone.measures] == ["percent"]
