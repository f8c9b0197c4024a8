"""What is done with wrong lines: tried in a process of their own, counted, and kept."""

from pathlib import Path

import pytest

from tests.late import Late
from tests.mutation import record
from tests.mutation.interval import wilson
from tests.mutation.mutants import Mutant
from tests.mutation.mutated import changed_functions, put_in
from tests.mutation.named import named_mutants
from tests.mutation.record import Run, keep, latest, run_of, runs
from tests.mutation.report import table
from tests.mutation.rooms import LOADED, PYTEST, Runs, room_of
from tests.mutation.trial import Tried, run_ready, try_all
from tests.paths import ROOT

proportion = Late("statsmodels.stats.proportion")
MUTANT = Mutant("garage/calc/water.py", 7, "constant", "7", "(8)", "", range(7, 8))


@pytest.mark.parametrize("of", [1, 5, 40, 300])
def test_the_interval_is_wilsons(of):
    for found in {0, 1, of // 2, of}:
        assert wilson(found, of) == pytest.approx(proportion.proportion_confint(found, of, method="wilson"), abs=1e-6)


def test_nothing_tried_leaves_all_open():
    assert wilson(0, 0) == (0.0, 1.0)


ASKED = "tests/runs/test_derived.py::test_c_rate_is_the_share_of_the_pack_that_an_hour_of_it_would_take"


def test_wrong_lines_are_met_by_the_test_of_their_room_and_the_tree_stays_as_it_is(tmp_path: Path):
    [mutant] = [one for one in named_mutants() if one.operator == "C-rate ten times too small"]
    right = (ROOT / mutant.path).read_text(encoding="utf-8")
    sources = [mutant.source, "raise TypeError('no such thing')\n", mutant.source, right]
    jobs = [
        {"number": number, "path": mutant.path, "source": source, "tests": [ASKED]}
        for number, source in enumerate(sources)
    ]
    room = [*LOADED, "tests/runs/test_derived.py"]
    words = {"words": PYTEST, "room": room, "loading": jobs[:2], "loaded": jobs[2:]}
    assert list(run_ready(words, tmp_path)) == [(0, 1), (1, 1), (2, 1), (3, 0)]
    assert (ROOT / mutant.path).read_text(encoding="utf-8") == right


@pytest.mark.parametrize(
    ("wrong", "is_put_in"),
    [
        ("A = 1\ndef b(c):\n    return 8\n", True), ("A = 2\ndef b(c):\n    return 7\n", False),
        ("A = True\ndef b(c):\n    return 7\n", False), ("A = 1\ndef b(c=1):\n    return 7\n", False),
    ],
)  # fmt: skip
def test_what_only_functions_do_is_put_into_them_and_all_else_is_loaded_anew(wrong, is_put_in):
    changed = changed_functions("A = 1\ndef b(c):\n    return 7\n", wrong)
    assert (changed is not None) == is_put_in
    if changed:
        held: dict = {}
        exec(compile("A = 1\ndef b(c):\n    return 7\n", "right", "exec"), held)
        put_in(changed)
        assert held["b"](None) == 8


def test_a_line_is_tried_by_the_tests_that_run_it_and_one_of_a_module_being_loaded_by_those_that_name_it():
    by_line, by_file = {(MUTANT.path, 7): ["a.py::one"]}, {MUTANT.path: ["a.py::one", "b.py"]}
    assert Runs(by_line, by_file).of(MUTANT) == ["a.py::one"]
    assert Runs({}, by_file, frozenset({(MUTANT.path, 7)})).of(MUTANT) == [
        "tests/calc/test_water_and_air.py", "a.py::one", "b.py"
    ]  # fmt: skip
    assert Runs({}, by_file).of(MUTANT) == []


def test_the_named_lines_count_apart_and_what_survived_is_listed():
    tried = [Tried(MUTANT, True, 3), Tried(MUTANT, False, 0), Tried(MUTANT, True, 1, is_named=True)]
    told = table(tried)
    assert "all drawn       1 of    2" in told and "named           1 of    1" in told
    assert f"{MUTANT} (no test of its room runs it)" in told
    assert run_of(5, tried)[1:] == (5, 2, 1, 1, 1)


def test_the_share_stands_on_the_latest_three_runs(tmp_path: Path, monkeypatch):
    path = tmp_path / "runs.csv"
    path.write_text(",".join(Run._fields) + "\n", encoding="utf-8")
    monkeypatch.setattr(record, "PATH", path)
    kept = [Run("2026-05-09", seed, 10 * seed, seed, 6, 6) for seed in (1, 2, 3, 4)]
    for one in kept[:3]:
        keep(one)
    assert runs() == kept[:3] and latest() == (6, 60)
    assert latest(kept[3]) == (9, 90)


@pytest.mark.long
def test_of_a_hundred_wrong_lines_the_tests_catch_most_and_all_that_are_named(capsys, tmp_path: Path):
    seed = 1 + max((one.seed for one in runs()), default=0)
    tried = try_all(seed, 100 + len(named_mutants()), tmp_path, lambda one: None)
    with capsys.disabled():
        print(f"\nSeed {seed}:\n{table(tried)}")
    assert not [str(one.mutant) for one in tried if one.is_named and not one.is_caught]
    caught, drawn = latest(run_of(seed, tried))
    assert caught >= 0.85 * drawn, f"{caught} of {drawn} in the latest three runs"
    assert {room_of(one.mutant) for one in tried} == {"runs", "packs", "states", "findings", "calc"}
