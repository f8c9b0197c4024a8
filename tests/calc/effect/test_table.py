"""Runs from a table: every cell lands where it belongs, and every slip is told with its row."""

import pytest

from garage.calc.effect.runs import Factor, PackUse
from garage.calc.effect.table import Table, TableFault, read_number, read_table

NAMES = "speed_kmh;outing;tabs;height;pack;pack_cycle;prop;how;passes;air_c;wind_ms;headwind_ms;pack_start_c;rested_v"
FULL = f"""{NAMES};cells;mood
60,5;d1;0;3;A;;P1;by eye;;18;2;-1;25;16,8;4;good
61.5;d1;1;;B;3;P2;display;2;-;;;;4.2;;
;d2;1;4;A;;P1;log;;;;;;;;
62;d2;;4;A;;P1;log;;;;;;;;
63;d2;1;5;A;;P1;;;;;;;;;
"""


def test_every_cell_lands_where_it_belongs():
    found = read_table(FULL, "tabs", ["height"], {"height": 0.5})
    first, second, third = found.runs
    assert (first.key, first.outcome, first.outing, first.packs, first.prop, first.how, first.passes) == (
        "2", 60.5, "d1", (PackUse("A"),), "P1", "eye", None
    )  # fmt: skip
    assert (first.air_c, first.wind_ms, first.headwind_ms, first.pack_start_c) == (18, 2, -1, 25)
    assert (first.rested_v_per_cell, first.cells) == (4.2, 4)
    assert first.factors == {"tabs": 0, "height": 3} and second.factors == {"tabs": 1}
    assert (second.packs, second.how, second.passes, second.air_c, second.rested_v_per_cell, second.cells) == (
        (PackUse("B", 3),), "display", 2, None, 4.2, None
    )  # fmt: skip
    assert (third.key, third.how) == ("6", "log")
    assert found.factors == (Factor("tabs"), Factor("height", True, 0.5)) and found.ignored == ("mood",)
    assert found.notes == ("2 of 5 rows have no speed_kmh or no tabs: left out.",)


def _table(*rows: str, names: str = "speed_kmh,outing,tabs,pack,prop") -> str:
    return "\n".join([names, *rows])


def _read(text: str, of: str = "tabs", **more) -> Table:
    return read_table(text, of, **more)


GOOD = ("60,d1,0,A,P1", "61,d2,1,A,P1")


@pytest.mark.parametrize(("name", "kmh"), [("speed_kmh", 60), ("speed_mph", 60 * 1.609344), ("speed_ms", 216)])
def test_speeds_may_be_in_three_units(name, kmh):
    # The international mile; 3.6 km/h are 1 m/s.
    found = _read(_table(*GOOD, names=f"{name},outing,tabs,pack,prop"))
    assert found.runs[0].outcome == pytest.approx(kmh)


@pytest.mark.parametrize(
    ("cell", "number"),
    [("1.5", 1.5), ("1,5", 1.5), ("-2", -2), ("1e3", 1000), ("1,000.5", None), ("1,2,3", None), ("1_000", None),
     ("nan", None), ("inf", None), ("", None), ("x", None)],
)  # fmt: skip
def test_a_number_may_have_a_decimal_comma_and_is_finite(cell, number):
    assert read_number(cell) == number


def _slip(cell: str, name: str = "air_c") -> str:
    try:
        _read(_table(f"60,d1,0,A,P1,{cell}", "61,d2,1,A,P1,", names=f"speed_kmh,outing,tabs,pack,prop,{name}"))
    except TableFault as fault:
        return str(fault)
    return ""


@pytest.mark.parametrize(
    ("name", "low", "high", "step"),
    [
        ("air_c", -40, 60, 0.1), ("wind_ms", 0, 60, 0.1), ("headwind_ms", -60, 60, 0.1),
        ("pack_start_c", -40, 100, 0.1),
        ("cells", 1, 30, 1), ("passes", 1, 1000, 1), ("pack_cycle", 1, 10000, 1),
    ],
)  # fmt: skip
def test_each_column_takes_both_ends_and_nothing_beyond(name, low, high, step):
    assert _slip(f"{low}", name) == _slip(f"{high}", name) == ""
    for beyond in (low - step, high + step):
        assert _slip(f"{beyond:g}", name).startswith(f"row 2: {name} is {beyond:g}: ")
    assert "which is not a number" in _slip("x", name)
    is_whole = name in ("passes", "pack_cycle")
    assert ("a whole number from" in _slip("2.5", name)) == is_whole


@pytest.mark.parametrize(
    ("speed", "is_told"), [("1", True), ("1.1", False), ("399.9", False), ("400", True), ("x", True)]
)
def test_speeds_that_no_boat_has_are_slips(speed, is_told):
    if is_told:
        with pytest.raises(TableFault, match="row 3: speed_kmh is"):
            _read(_table(GOOD[0], f"{speed},d2,1,A,P1"))
    else:
        assert _read(_table(GOOD[0], f"{speed},d2,1,A,P1")).runs[1].outcome == float(speed)


@pytest.mark.parametrize(
    ("volts", "cells", "per_cell"),
    [("4.5", "", 4.5), ("4.6", "", None), ("18", "4", 4.5), ("18.1", "4", None), ("4.4", "4", 4.4), ("0.1", "", 0.1),
     ("130", "30", 130 / 30), ("131", "30", None), ("", "4", None)],
)  # fmt: skip
def test_rested_volts_are_those_of_one_cell(volts, cells, per_cell):
    text = _table(
        f"60,d1,0,A,P1,{volts},{cells}", "61,d2,1,A,P1,,", names="speed_kmh,outing,tabs,pack,prop,rested_v,cells"
    )
    if per_cell is None and volts:
        with pytest.raises(TableFault, match="row 2: rested_v is"):
            _read(text)
    else:
        assert _read(text).runs[0].rested_v_per_cell == per_cell


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "The table is empty"), (" \n", "The table is empty"), (_table(), "names of columns but no runs"),
        (_table(" , , "), "names of columns but no runs"),
        (_table(*GOOD, names="speed,outing,tabs,a,b"), "no column of speeds"),
        (_table(*GOOD, names="speed_kmh,day,tabs,a,b"), "no column outing"),
        (_table(*GOOD, names="speed_kmh,outing,fin,a,b"), "no column tabs. There are: speed_kmh, outing, fin, a, b"),
        (_table(*GOOD, names="speed_kmh,outing,tabs,tabs,b"), "Two columns are called tabs"),
        (_table(",d1,0,A,P1"), "no runs with speed_kmh and tabs"), (_table("60,,0,A,P1"), "row 2: outing is empty"),
        (_table("60,d1,x,A,P1"), "row 2: tabs is 'x'"),
    ],
)  # fmt: skip
def test_a_table_that_cannot_be_used_says_why(text, words):
    with pytest.raises(TableFault, match=words):
        _read(text)


@pytest.mark.parametrize("name", ["speed_kmh", "outing", "pack", "prop", "air_c"])
def test_what_is_always_in_the_model_is_not_asked_about(name):
    names = "speed_kmh,outing,tabs,pack,prop,air_c"
    with pytest.raises(TableFault, match=f"{name} is always in the model"):
        _read(_table("60,d1,0,A,P1,9", names=names), name)
    with pytest.raises(TableFault, match="A step is given for pack"):
        _read(_table("60,d1,0,A,P1,9", names=names), steps={"pack": 1.0})


def test_of_many_slips_six_are_told_and_the_rest_counted():
    for count, last in ((6, "row 7: tabs is 'x'"), (7, "… and 1 more"), (9, "… and 3 more")):
        with pytest.raises(TableFault) as fault:
            _read(_table(*["60,d1,x,A,P1"] * count))
        lines = str(fault.value).splitlines()
        assert len(lines) == min(count, 6) + (count > 6) and lines[-1].startswith(last)
    # A setting may be open, a change may not.
    with pytest.raises(TableFault) as fault:
        _read(
            _table("60,d1,0,1", "61,d1,1,2", "62,d1,,0", names="speed_kmh,outing,tabs,height"), "height", also=["tabs"]
        )
    assert str(fault.value) == "row 4: tabs is empty: write 0 or 1"


def test_a_factor_with_other_numbers_than_0_and_1_or_with_a_step_is_a_setting():
    def is_setting(*values: str, **more) -> bool:
        rows = [f"60,d{n},{value},A,P1" for n, value in enumerate(values)]
        return _read(_table(*rows), **more).factors[0].is_setting

    assert not is_setting("0", "1") and not is_setting("1", "1") and is_setting("0", "2") and is_setting("0.5", "1")
    assert is_setting("0", "1", steps={"tabs": 0.5}) and _read(_table(*GOOD)).factors[0].step == 1.0


@pytest.mark.parametrize(("step", "fits"), [(1e-6, True), (0.99e-6, False), (1e6, True), (1.01e6, False)])
def test_a_step_is_between_a_millionth_and_a_million_of_the_span(step, fits):
    text = _table("60,d1,2,A,P1", "61,d2,3,A,P1")
    if fits:
        assert _read(text, steps={"tabs": step}).factors[0].step == step
    else:
        with pytest.raises(TableFault, match="The step of tabs is"):
            _read(text, steps={"tabs": step})
    assert _read(_table("60,d1,2,A,P1", "61,d2,2,A,P1"), steps={"tabs": step})


def test_what_is_assumed_of_packs_and_props_is_said():
    bare = _read(_table("60,d1,0", "61,d2,1", names="speed_kmh,outing,tabs"))
    assert bare.notes == (
        "There is no column pack: one and the same pack is assumed for all runs.",
        "There is no column prop: one and the same prop is assumed for all runs.",
    )
    some = _read(_table("60,d1,0,,P1", "61,d2,1,A,P1"))
    assert some.notes == ("1 of 2 runs name no pack: they count as one pack of its own.",)
    assert _read(_table(*GOOD)).notes == () and _read("\ufeff" + _table(*GOOD)).runs[0].outing == "d1"
    tabbed = _table(*GOOD).replace(",", "\t")
    assert _read(tabbed).runs == _read(_table(*GOOD)).runs == _read(_table(*GOOD).replace(",", ";")).runs
    # A short row is open at its end, and columns without a name are left alone.
    assert _read(_table("60,d1,0", "61,d2,1,A,P1,7")).runs[0].prop == ""
    wrong = _table("60,d1,0,A,P1,sometimes", names="speed_kmh,outing,tabs,pack,prop,how")
    with pytest.raises(TableFault, match="how is 'sometimes': write log, display or eye"):
        _read(wrong)
