"""A visit as typed: which changes it makes, in which order, and what is refused beside which field."""

from datetime import UTC, datetime

import pytest

from garage.hulls.tables import Hull
from garage.states import settings_list
from garage.states.fold import Content
from garage.states.mending_forms import read_slip, slip_choices
from garage.states.settings_list import SETTINGS, asked_for, left_over, places_of
from garage.states.visit_forms import OnOffer, damage_field, read_visit
from garage.states.visit_sheets import said, visit_sheet
from garage.units import DisplayUnits
from garage.web.fields import FormErrors, Reader

METRIC = DisplayUnits.metric()
MOTOR = {"kind": "motor", "part_id": 4, "code": "M4"}
STRUT = {"kind": "strut", "part_id": 5, "code": "S5"}
STANDS = Content(
    fitted={"1": {"title": "Tabs"}},
    parts={"motor@single": MOTOR, "strut@single": STRUT},
    settings={"strut_height@single": 3.0, "strut_angle@single": 1.0},
    damage={"keel scraped@single": True},
)
OFFER = OnOffer({2: "Fin"}, {1: "Tabs"}, {6: "M6 motor", 7: "M7 motor"})


def _hull(**facts) -> Hull:
    return Hull(**{"id": 1, "name": "Quince", "kind": "mono", "screws": 1, "fixed_tube": False} | facts)


def _reader(typed: dict[str, str]) -> Reader:
    return Reader(typed, METRIC, datetime(2026, 5, 9, 14, 30, tzinfo=UTC))


def _visit(hull: Hull | None = None, content: Content = STANDS, **typed: str):
    typed = {"at": "2026-05-09 10:00"} | typed
    return read_visit(_reader(typed), typed, hull or _hull(), content, OFFER)


def _refused(hull: Hull | None = None, content: Content = STANDS, **typed: str) -> list[str]:
    with pytest.raises(FormErrors) as refused:
        _visit(hull, content, **typed)
    return sorted(refused.value.errors)


def _made(*args, **typed: str) -> list[tuple]:
    return [
        (one.kind, one.place, one.modification_id, one.part_id, one.setting, dict(one.detail))
        for one in _visit(*args, **typed).changes
    ]


def test_what_comes_off_comes_off_before_anything_goes_on():
    typed = dict.fromkeys(("fit_2", "rework_1", "take_out_4", "take_off_1"), "on")
    typed |= {"part_1": "6", "damage_1": "rudder bent", "damage_place_1": "left", "set_ballast_single": "20 g aft"}
    typed |= {damage_field("keel scraped@single"): "on", "note": "spring"}
    assert _made(**typed) == [
        ("take off", "single", 1, None, "", {"title": "Tabs"}),
        ("take out", "single", None, 4, "", MOTOR),
        ("rework", "single", 1, None, "", {"title": "Tabs"}),
        ("fit", "single", 2, None, "", {"title": "Fin"}),
        ("install", "single", None, 6, "", {"text": "M6 motor"}),
        ("set", "single", None, None, "ballast", {"value": "20 g aft"}),
        ("damage", "left", None, None, "", {"what": "rudder bent"}),
        ("repair", "single", None, None, "", {"what": "keel scraped"}),
    ]
    assert _visit(**typed).note == "spring"


def test_nothing_different_and_no_time_are_said():
    assert _refused() == [""] and _refused(at="") == ["at"]
    # What cannot be read is said by itself.
    assert _refused(set_strut_height_single="high") == ["set_strut_height_single"]
    assert _refused(note="x" * 2001, fit_2="on") == ["note"]
    assert _visit(note="x" * 2000, fit_2="on").note == "x" * 2000


@pytest.mark.parametrize("name", ["take_off_9", "take_out_9", "fit_9", "rework_9", "repaired_9"])
def test_what_was_ticked_and_is_not_there_is_said_and_never_dropped(name):
    assert _refused(fit_2="on", **{name: "on"}) == [name]


def test_a_part_sits_at_one_place_and_of_two_screws_it_is_asked_which():
    assert _refused(part_1="6", part_2="6") == ["part_2"]
    assert [one[3] for one in _made(part_1="6", part_10="7")] == [6, 7]
    assert _refused(part_11="7") == [""] and _refused(part_1="8") == ["part_1"]
    assert _refused(_hull(screws=2), part_1="6") == ["part_place_1"]
    assert _made(_hull(screws=2), part_1="6", part_place_1="right")[0][1] == "right"
    assert _made(part_1="6")[0][1] == "single"


def test_damage_is_told_in_up_to_two_lines_of_200_signs():
    told = _made(damage_1="x" * 200, damage_2="bent", damage_3="lost")
    assert [one[5]["what"] for one in told] == ["x" * 200, "bent"] and told[0][1] == "single"
    assert _refused(damage_1="x" * 201) == ["damage_1"]


# Wide on purpose, in the unit of storage; own choice.
BOUNDS = {
    "strut_height": (-100, 150), "strut_angle": (-20, 20), "strut_offset": (-300, 300), "strut_reach": (-100, 400),
    "dog_gap": (0, 30), "balance_point": (-2000, 3000), "lateral_balance": (-200, 200), "running_mass": (50, 50000),
    "tab_angle": (-20, 45), "fin_angle": (20, 160), "fin_depth": (0, 300), "rudder_depth": (0, 400),
    "rudder_rake": (-45, 45), "rudder_offset": (-500, 500), "motor_timing": (-10, 60), "gps_mass": (0.5, 2000),
}  # fmt: skip
ON_SIDES = {"tab_angle", "fin_angle", "fin_depth"}
ON_SCREWS = {
    "strut_height", "strut_angle", "strut_offset", "strut_reach", "dog_gap", "rudder_depth", "rudder_rake",
    "rudder_offset", "motor_timing", "controller_programming", "capacitor_bank", "water_pickup",
}  # fmt: skip


@pytest.mark.parametrize(
    "setting", [one for one in SETTINGS if one.kind not in ("text", "balance")], ids=lambda s: s.key
)
def test_a_setting_takes_both_ends_and_nothing_beyond(setting):
    low, high = BOUNDS[setting.key]
    [place, *_] = places_of(setting, 1)
    field = setting.field(place)
    for number in (low, high):
        made = _made(content=Content(), **{field: str(number)})
        assert [(one[4], one[1], one[5]) for one in made] == [(setting.key, place, {"value": number})]
    for number in (low - 0.1, high + 0.1):
        assert _refused(content=Content(), **{field: f"{number:.1f}"}) == [field]


def test_every_setting_says_what_it_is_measured_from_and_where_it_is_asked_for():
    assert {one.key for one in SETTINGS if one.low is not None} == set(BOUNDS)
    assert {one.key for one in SETTINGS if one.places == "sides"} == ON_SIDES
    assert {one.key for one in SETTINGS if one.places == "screws"} == ON_SCREWS
    for one in SETTINGS:
        assert bool(one.datum) != (one.kind == "balance") and (one.low, one.high) == BOUNDS.get(one.key, (None, None))
        sides = ("left", "right")
        two = one.key in ON_SIDES | ON_SCREWS
        assert places_of(one, 2) == (sides if two else ("single",))
        assert places_of(one, 1) == (sides if one.key in ON_SIDES else ("single",))
    assert {one.key for one in SETTINGS if one.hint} == {"strut_height", "strut_angle", "dog_gap", "balance_point"}
    assert len(list(asked_for(1))) == len(SETTINGS) + 3 and len(list(asked_for(2))) == len(SETTINGS) + 15
    # A planing bottom ends at the transom, a sponson before it; common practice, no source.
    assert {kind: settings_list.balance_datum(kind) for kind in ("mono", "tunnel", "other")} == dict.fromkeys(
        ("mono", "tunnel", "other"), "the transom"
    )
    assert (
        settings_list.balance_datum("hydroplane") == settings_list.balance_datum("outrigger") == "the sponson transom"
    )
    assert "sponsons" in settings_list.balance_datum("catamaran")


def test_words_of_a_setting_fit_up_to_400_signs():
    assert _made(set_ballast_single="x" * 400)[0][5] == {"value": "x" * 400}
    assert _refused(set_ballast_single="x" * 401) == ["set_ballast_single"]


def test_a_setting_written_as_it_stands_is_no_change_and_one_cleared_is():
    assert _refused(set_strut_height_single="3") == [""]
    assert _made(clear_strut_height_single="on")[0][4:] == ("strut_height", {"value": None})
    # What is written anew is not cleared; nor is what was never written.
    assert _made(set_strut_height_single="4", clear_strut_height_single="on")[0][5] == {"value": 4.0}
    assert _refused(clear_dog_gap_single="on") == [""]


def test_a_setting_of_a_place_that_is_gone_can_be_cleared():
    content = Content(
        settings={"dog_gap@left": 3.0, "strut_height@single": 1.0, "of_old@left": 2.0, "ballast@single": "x"}
    )
    assert [(one.key, place) for one, place in left_over(1, content.settings)] == [("dog_gap", "left")]
    assert [(one.key, place) for one, place in left_over(2, content.settings)] == [("strut_height", "single")]
    assert _made(content=content, clear_dog_gap_left="on") == [("set", "left", None, None, "dog_gap", {"value": None})]


def test_on_a_fixed_tube_height_and_angle_are_measured_together():
    tube = _hull(fixed_tube=True)
    assert _refused(tube, set_strut_height_single="4") == ["set_strut_angle_single"]
    assert _refused(tube, set_strut_angle_single="2") == ["set_strut_height_single"]
    assert len(_made(tube, set_strut_height_single="4", set_strut_angle_single="1")) == 1
    assert len(_made(tube, set_strut_height_single="4", set_strut_angle_single="2")) == 2
    assert len(_made(tube, clear_strut_height_single="on")) == len(_made(tube, set_dog_gap_single="4")) == 1
    assert len(_made(set_strut_height_single="4")) == 1


def test_after_another_strut_its_height_and_angle_are_measured_anew():
    both = ["set_strut_angle_single", "set_strut_height_single"]
    assert _refused(take_out_5="on") == both
    assert _refused(take_out_5="on", set_strut_height_single="3") == ["set_strut_angle_single"]
    assert _refused(take_out_5="on", clear_strut_height_single="on") == ["set_strut_angle_single"]
    assert len(_made(take_out_5="on", set_strut_height_single="3", set_strut_angle_single="1")) == 1
    assert len(_made(take_out_4="on")) == 1
    bare = Content(parts=STANDS.parts)
    assert len(_made(content=bare, take_out_5="on")) == 1
    tube = Content(parts={"stuffing tube@single": STRUT | {"kind": "stuffing tube"}}, settings=STANDS.settings)
    assert _refused(content=tube, take_out_5="on") == both
    other_side = Content(parts={"strut@left": STRUT}, settings=STANDS.settings)
    assert len(_made(content=other_side, take_out_5="on")) == 1


def _balance(hull: Hull, content: Content = STANDS, **typed: str) -> dict:
    [change] = _made(hull, content, **{f"set_balance_{name}": text for name, text in typed.items()})
    assert change[4] == "balance_point"
    return change[5]["value"]


def test_a_balance_point_is_typed_in_mm_percent_or_both_where_they_agree():
    long = _hull(length_mm=800.0)
    assert _balance(long, mm="240") == {
        "mm": 240.0, "percent": 30.0, "datum": "the transom", "typed": "mm", "length_mm": 800.0
    }  # fmt: skip
    assert _balance(long, percent="30") == {
        "mm": 240.0, "percent": 30.0, "datum": "the transom", "typed": "percent", "length_mm": 800.0
    }  # fmt: skip
    # Two millimetres is what a folding rule shows.
    assert _balance(long, mm="242", percent="30")["typed"] == "both"
    assert _refused(long, set_balance_mm="242.1", set_balance_percent="30") == ["set_balance_percent"]
    assert _balance(long, mm="237.9", percent="29.8")["typed"] == "both"
    assert _balance(long, mm="800")["percent"] == 100.0 and _balance(long, mm="-800")["mm"] == -800.0
    for beyond in ("800.1", "-800.1"):
        assert _refused(long, set_balance_mm=beyond) == ["set_balance_mm"]
    short = _hull(length_mm=None)
    assert _balance(short, mm="3000") == {"mm": 3000.0, "percent": None, "datum": "the transom", "typed": "mm"}
    assert _balance(short, mm="242", percent="1")["typed"] == "both"
    for name, ends in (("mm", (-2000, 3000)), ("percent", (-60, 100))):
        for number, fits in ((ends[0], True), (ends[1], True), (ends[0] - 0.1, False), (ends[1] + 0.1, False)):
            typed = {f"set_balance_{name}": str(number)}
            if fits:
                assert _made(short, **typed)
            else:
                assert _refused(short, **typed) == [f"set_balance_{name}"]


def test_a_balance_point_that_stands_there_already_is_no_change():
    long = _hull(length_mm=800.0)
    kept = {"mm": 240.0, "percent": 30.0, "datum": "the transom", "typed": "mm", "length_mm": 800.0}
    content = Content(settings={"balance_point@single": kept})
    for typed in ({"mm": "240"}, {"percent": "30"}, {"mm": "240", "percent": "30"}):
        assert _refused(long, content, **{f"set_balance_{name}": text for name, text in typed.items()}) == [""]
    assert _balance(long, content, mm="241")["mm"] == 241.0


def test_a_slip_is_mended_in_a_setting_a_note_or_the_words_of_a_change():
    hull = _hull(length_mm=800.0)
    choices = slip_choices(hull, {"strut_height@single", "balance_point@single", "dog_gap@left"}, [(7, "fitted")])
    assert choices == [
        ("set:strut_height@single", "Strut height"), ("set:balance_point@single", "Balance point"),
        ("note", "note of this state"), ("change:7", "note of: fitted"),
    ]  # fmt: skip

    def slip(what: str, new: str, why: str = "misread"):
        return read_slip(_reader({"what": what, "new": new, "why": why}), hull, choices)

    height = slip("set:strut_height@single", "4.5")
    assert (height.setting, height.place, height.value, height.change_id) == ("strut_height", "single", 4.5, None)
    assert slip("set:balance_point@single", "25 %").value["mm"] == 200.0
    assert slip("set:balance_point@single", "200").value["percent"] == 25.0
    note = slip("note", "x" * 2000, "y" * 400)
    assert (note.setting, note.change_id, note.new, note.why) == ("", None, "x" * 2000, "y" * 400)
    assert slip("change:7", "words").change_id == 7
    for wrong, beside in (
        (("note", ""), "new"), (("note", "x" * 2001), "new"), (("note", "x", ""), "why"), (("", "x"), "what"),
        (("note", "x", "y" * 401), "why"), (("set:strut_height@single", ""), "new"),
        (("set:strut_height@single", "151"), "new"), (("set:dog_gap@left", "3"), "what"),
        (("set:balance_point@single", "101 %"), "new"), (("set:balance_point@single", "-2001"), "new"),
    ):  # fmt: skip
        with pytest.raises(FormErrors) as refused:
            slip(*wrong)
        assert list(refused.value.errors) == [beside], wrong


def test_the_form_of_a_visit_shows_what_stands_and_what_is_on_offer():
    twin = _hull(screws=2, length_mm=800.0, fixed_tube=True, kind="hydroplane")
    content = Content(
        fitted=STANDS.fitted, parts={"motor@left": MOTOR},
        settings={"strut_height@left": 3.0, "ballast@single": "x", "dog_gap@single": 2.0},
        damage={"fin @ stern@right": True},
    )  # fmt: skip
    sheet = visit_sheet(twin, None, content, OFFER, METRIC, {"at": "now"}, is_past=True)
    told = (sheet.hull_length_known, sheet.fixed_tube, sheet.two_screws, sheet.is_past, sheet.state, sheet.made)
    assert told == (True, True, True, True, None, None) and sheet.fingerprint == ""
    assert (sheet.fitted, sheet.fittable, sheet.reworkable) == ([(1, "Tabs")], [(2, "Fin")], [(1, "Tabs")])
    assert sheet.installed == [(4, "M4 motor, left")]
    assert sheet.installable == [("6", "M6 motor"), ("7", "M7 motor")]
    assert sheet.open_damage == [(damage_field("fin @ stern@right"), "fin @ stern, right")]
    rows = {(row.setting, row.place): row for group in sheet.groups for row in group.rows}
    assert len(rows) == len(list(asked_for(2))) + 1
    height, gap = rows["strut_height", "left"], rows["dog_gap", "single"]
    assert (height.name, height.field, height.clear) == (
        "Strut height, left", "set_strut_height_left", "clear_strut_height_left"
    )  # fmt: skip
    assert height.now.measures[0].value == 3.0 and rows["strut_height", "right"].now is None
    listed = next(setting for setting in SETTINGS if setting.key == "strut_height")
    assert (height.datum, height.hint) == (listed.datum, listed.hint)
    assert rows["balance_point", "single"].datum == "the sponson transom"
    # At a place that she does not have any more it can only be cleared.
    assert (gap.field, gap.clear, gap.now.measures[0].value) == ("", "clear_dog_gap_single", 2.0)
    for group in sheet.groups:
        clears = [row.clear for row in group.rows]
        typed = [row.field for row in group.rows if row.field and row.kind != "balance"]
        more = ["set_balance_mm", "set_balance_percent"] if group.name == "Balance and mass" else []
        assert group.fields == typed + more + clears
    plain = visit_sheet(_hull(length_mm=None), None, Content(), OFFER, METRIC, {}, is_past=False)
    assert (plain.hull_length_known, plain.fixed_tube, plain.two_screws, plain.is_past) == (False,) * 4


def test_what_was_done_is_said_in_one_line_of_at_most_six():
    angles = [one for one in SETTINGS if one.kind == "angle"]
    changes = _visit(**{one.field(places_of(one, 1)[0]): "20" for one in angles}).changes
    assert len(changes) == 5 and said(changes, METRIC).count(";") == 4 and "more" not in said(changes, METRIC)
    six = [*changes, changes[0]]
    assert said(six, METRIC).endswith(".") and "more" not in said(six, METRIC)
    assert (
        said([*six, *changes[:2]], METRIC).endswith(" and 2 more.") and said([*six, *changes], METRIC).count(";") == 5
    )
