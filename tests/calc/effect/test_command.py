"""`garage effect`: its answers, and plain words for every table that cannot be used."""

import json
import random

import pytest

from garage.cli import main

TABLE = """\
speed_kmh,outing,tabs,pack,pack_cycle,air_c,wind_ms,prop,note
57.2,d1,0,old,,18,2.0,P1,windy
55.1,d1,0,new,1,18,2.0,P1,
56.0,d1,0,new,2,18,2.5,P1,
56.9,d2,0,new,3,21,1.0,P1,
57.4,d2,0,new,4,21,1.5,P1,
59.3,d3,1,new,5,20,3.0,P1,
59.8,d3,1,new,6,20,3.0,P1,
58.9,d4,1,new,7,16,4.0,P1,
"""
KEYS = {
    "runs", "seen", "parts", "ignored", "effect", "wide", "tangled", "aliased", "verdict", "next_runs",
    "outings_needed",
}  # fmt: skip


@pytest.fixture
def ask(tmp_path, capsys):
    """Ask about a table: exit code, standard output, standard error."""

    def ask(table: str, *words: str, of: str = "tabs") -> tuple[int, str, str]:
        path = tmp_path / "runs.csv"
        path.write_text(table, encoding="utf-8")
        code = main(["effect", str(path), "--of", of, *words])
        said = capsys.readouterr()
        return code, said.out, said.err

    return ask


def _json(ask, table: str, *words: str, of: str = "tabs") -> dict:
    code, out, _ = ask(table, "--json", *words, of=of)
    assert code == 0
    return json.loads(out)


def _columns(table: str, **changed) -> str:
    """The table with some columns replaced by functions of the row's cells (or added)."""
    names, *rows = [line.split(",") for line in table.strip().splitlines()]
    cells = [dict(zip(names, row, strict=True)) for row in rows]
    for name, of in changed.items():
        for row, value in zip(cells, [of(row) for row in cells], strict=True):
            row[name] = value
    return "\n".join([",".join(cells[0]), *(",".join(map(str, row.values())) for row in cells)]) + "\n"


def test_json_has_the_stated_keys_and_the_figures_of_the_worked_example(ask):
    found = _json(ask, TABLE)
    assert set(found) == KEYS
    assert found["runs"] == 8 and found["ignored"] == ["note"] and found["aliased"] == []
    assert found["verdict"] == "cannot tell yet"
    assert found["effect"]["percent"] == pytest.approx(3.5759, abs=1e-4)
    assert found["effect"]["interval_90"] == pytest.approx([0.4864, 6.6450], abs=1e-4)
    assert found["effect"]["probability_gain"] == pytest.approx(0.967770, abs=1e-6)
    assert found["wide"]["probability_gain"] == pytest.approx(0.900418, abs=1e-6)
    assert set(found["effect"]) == set(found["wide"]) == {"percent", "kmh", "interval_90", "probability_gain"}
    assert found["seen"] == pytest.approx({"kmh": 2.81333, "percent": 4.8673}, abs=1e-4)
    assert sum(part["kmh"] for part in found["parts"]) == pytest.approx(found["seen"]["kmh"])
    assert sum(part["percent"] for part in found["parts"]) == pytest.approx(found["seen"]["percent"])
    assert "unexplained" in [part["cause"] for part in found["parts"]]
    assert found["tangled"][0]["cause"] == "day" and set(found["tangled"][0]) == {"cause", "share", "sentence"}
    assert found["next_runs"]["half_width_now"] == pytest.approx(2.86, abs=0.01)
    assert found["next_runs"]["half_width_after"] == pytest.approx(1.48, abs=0.01)
    assert found["outings_needed"] == 1


def test_planned_runs_are_named_by_their_factors(ask):
    runs = _json(ask, TABLE, "--available", "pack=old;tabs=0,1", "--next", "2")["next_runs"]["runs"]
    assert sorted(run["factors"]["tabs"] for run in runs) == [0, 1]
    assert {run["factors"]["pack"] for run in runs} == {"old"}


def test_discharges_of_the_next_runs_can_be_stated(ask):
    runs = _json(ask, TABLE, "--available", "pack=new;pack_cycle=new:12")["next_runs"]["runs"]
    assert [run["factors"]["pack_cycle"] for run in runs] == [12, 13, 14, 15]


def test_no_plan_has_a_reason(ask):
    found = _json(ask, TABLE, "--available", "tabs=0;pack=old")
    assert found["next_runs"] is None and found["outings_needed"] is None
    assert "cannot settle" in found["next_runs_reason"]


def test_sentences_tell_what_was_seen_and_what_is_not_known(ask):
    code, out, _ = ask(TABLE)
    assert code == 0
    assert "You saw +2.8 km/h with it, compared with the runs without it." in out
    assert "+3.6 %, between +0.5 and +6.6" in out
    assert "Cannot tell yet: about 97 in 100 that it is faster" in out
    assert "Columns not used: note." in out


@pytest.mark.parametrize(("column", "per"), [("speed_mph", 1.609344), ("speed_ms", 3.6)])
def test_unit_of_speed_changes_nothing(ask, column, per):
    other = _columns(TABLE, speed_kmh=lambda row: float(row["speed_kmh"]) / per).replace("speed_kmh", column)
    first, second = _json(ask, TABLE), _json(ask, other)
    assert second["effect"]["percent"] == pytest.approx(first["effect"]["percent"], abs=1e-8)
    assert second["seen"]["kmh"] == pytest.approx(first["seen"]["kmh"])


def test_order_of_rows_and_columns_changes_nothing(ask):
    names, *rows = TABLE.strip().splitlines()
    mixed = "\n".join([names, *random.Random(4).sample(rows, len(rows))])
    turned = "\n".join(",".join(reversed(line.split(","))) for line in mixed.splitlines())
    first, second = _json(ask, TABLE), _json(ask, turned)
    assert second["effect"]["interval_90"] == pytest.approx(first["effect"]["interval_90"], abs=1e-8)
    assert second["verdict"] == first["verdict"]


def _drift(*, in_turn: bool) -> str:
    rows = [(57.0, 0), (57.6, 0), (58.2, 0), (58.8, 1), (59.4, 1), (60.0, 1)]
    rows = [rows[place] for place in (0, 3, 1, 4, 2, 5)] if in_turn else rows
    return "speed_kmh,outing,tabs\n" + "".join(f"{speed},d1,{side}\n" for speed, side in rows)


def test_a_drift_is_at_most_probable_with_the_reason_in_text_and_json(ask):
    found = _json(ask, _drift(in_turn=False))
    assert found["verdict"] == "probably a gain"
    assert found["reason"].startswith("Not settled, for the two sides were never run in turn: all runs without it")
    code, out, _ = ask(_drift(in_turn=False))
    assert code == 0 and "Probably faster, but never run in turn:" in out and found["reason"] in out
    turned = _json(ask, _drift(in_turn=True))
    assert turned["verdict"] == "gain" and "reason" not in turned


def test_semicolons_and_decimal_commas_are_read(ask):
    other = TABLE.replace(",", ";").replace(".", ",")
    assert _json(ask, other)["effect"]["percent"] == pytest.approx(_json(ask, TABLE)["effect"]["percent"])


def test_a_setting_is_answered_per_step_and_over_its_range(ask):
    table = _columns(TABLE, strut_deg=lambda row: -1 if row["tabs"] == "0" else 0.5)
    found = _json(ask, table, "--step", "strut_deg=0.5", of="strut_deg")
    assert set(found) == KEYS | {"highest_against_lowest"}
    whole = found["highest_against_lowest"]
    assert whole["seen"]["kmh"] == pytest.approx(3 * found["seen"]["kmh"]) == pytest.approx(2.81333, abs=1e-4)
    assert sum(part["kmh"] for part in found["parts"]) == pytest.approx(found["seen"]["kmh"])


def test_every_factor_aliased_is_answered_with_cannot_tell_yet(ask):
    same = {
        "fin": lambda row: row["tabs"],
        "prop": lambda row: f"P{row['tabs']}",
        "pack": lambda row: f"K{row['tabs']}",
    }
    found = _json(ask, _columns(TABLE, **same), "--also", "fin")
    assert set(found["aliased"]) == {"fin", "pack", "prop"}
    assert found["verdict"] == "cannot tell yet"


def test_a_missing_pack_is_answered_and_said(ask):
    table = _columns(TABLE, pack=lambda row: "" if row["pack"] == "old" else row["pack"])
    code, out, _ = ask(table)
    assert code == 0 and "1 of 8 runs name no pack" in out
    code, out, _ = ask(_columns(TABLE, pack=lambda _: "").replace("pack,", "box,"))
    assert code == 0 and "no column pack" in out


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ("", "The table is empty."),
        ("\n \n", "The table is empty."),
        ("speed_kmh,outing,tabs\n", "no runs"),
        ("\n".join(TABLE.splitlines()[:2]), "The only run is without it"),
        ("\n".join(TABLE.splitlines()[:6]), "All 5 runs are without it: there is nothing to compare."),
        (TABLE.replace("57.2,", "0,"), "row 2: speed_kmh is 0"),
        (TABLE.replace("57.2,", "400,"), "row 2: speed_kmh is 400"),
        (TABLE.replace("57.2,", "-3,"), "row 2: speed_kmh is -3"),
        (TABLE.replace("57.2,", "fast,"), "row 2: speed_kmh is 'fast', which is not a number"),
        (TABLE.replace("57.2,", "nan,"), "row 2: speed_kmh is 'nan', which is not a number"),
        (TABLE.replace(",18,", ",mild,"), "row 2: air_c is 'mild', which is not a number"),
        (TABLE.replace("d1,0,", "d1,no,"), "row 2: tabs is 'no': write 0 or 1"),
        (TABLE.replace("new,1,", "new,1.5,"), "row 3: pack_cycle is 1.5: a whole number"),
        (TABLE.replace("speed_kmh", "velocity"), "no column of speeds"),
        (TABLE.replace("outing", "date"), "no column outing"),
        (TABLE.replace("57.2,d1", "57.2,"), "row 2: outing is empty"),
        (TABLE.replace("tabs", "flaps"), "There is no column tabs. There are: speed_kmh"),
        (TABLE.replace("note", "tabs"), "Two columns are called tabs"),
    ],
)
def test_a_table_that_cannot_be_used_is_told_in_plain_words(ask, table, words):
    code, out, err = ask(table)
    assert code == 2 and out == ""
    assert words in err and "Traceback" not in err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--smallest", "-1"], "--smallest must be a number above 0"),
        (["--next", "0"], "--next must be a whole number from 1 to 8"),
        (["--step", "tabs=zero"], "--step tabs must be a number above 0"),
        (["--step", "fin=1"], "A step is given for fin"),
        (["--also", "fin"], "There is no column fin"),
        (["--also", "pack"], "pack is always in the model"),
        (["--available", "pack"], "not of the form name=value"),
        (["--available", "fin=1"], "fin is neither pack"),
        (["--available", "pack_cycle=6"], "not of the form pack:discharge"),
        (["--available", "pack_cycle=newer:6"], "pack_cycle names newer, which is none of the packs old, new"),
        (["--available", "pack=old;pack_cycle=new:6"], "none of the packs old"),
        (["--available", "tabs=7"], "tabs is a change: 0 or 1"),
        (["--step", "tabs=1e300"], "The step of tabs is 1e+300, its values span 1"),
        (["--step", "tabs=1e13"], "give the step in which it is adjusted (--step tabs=…)"),
        (["--step", "tabs=1e-300"], "give the step in which it is adjusted"),
    ],
)
def test_words_of_the_command_that_cannot_be_used_are_told(ask, words, told):
    code, _, err = ask(TABLE, *words)
    assert code == 2 and told in err


def test_a_file_that_is_not_there_or_not_text_is_told(tmp_path, capsys):
    assert main(["effect", str(tmp_path / "none.csv"), "--of", "tabs"]) == 2
    assert "cannot be read" in capsys.readouterr().err
    (tmp_path / "picture").write_bytes(b"\xff\xd8\xff\xe0\x00")
    assert main(["effect", str(tmp_path / "picture"), "--of", "tabs"]) == 2
    assert "not text in UTF-8" in capsys.readouterr().err


def test_rested_volts_of_a_pack_need_its_cells(ask):
    table = _columns(TABLE, rested_v=lambda row: 16.4)
    code, _, err = ask(table)
    assert code == 2 and "give the number of cells" in err
    varied = _columns(TABLE, rested_v=lambda row: 16.4 + int(row["tabs"]) * 0.4, cells=lambda row: 4)
    assert "rested volts" in [part["cause"] for part in _json(ask, varied)["parts"]]
