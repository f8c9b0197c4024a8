"""What is done with wrong lines: tried in a process of their own, counted, and kept."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.late import Late
from tests.mutation import record
from tests.mutation.interval import wilson
from tests.mutation.mutants import Mutant
from tests.mutation.named import named_mutants
from tests.mutation.record import Run, keep, latest, run_of, runs
from tests.mutation.report import table
from tests.mutation.rooms import Runs, room_of
from tests.mutation.trial import Tried, try_all
from tests.paths import ROOT

proportion = Late("statsmodels.stats.proportion")
MUTANT = Mutant("garage/calc/water.py", 7, "constant", "7", "(8)", "")


@pytest.mark.parametrize("of", [1, 5, 40, 300])
def test_the_interval_is_wilsons(of):
    for found in {0, 1, of // 2, of}:
        assert wilson(found, of) == pytest.approx(proportion.proportion_confint(found, of, method="wilson"), abs=1e-6)


def test_nothing_tried_leaves_all_open():
    assert wilson(0, 0) == (0.0, 1.0)


def test_a_line_with_which_nothing_can_be_imported_is_caught(tmp_path: Path):
    source = tmp_path / "source.py"
    source.write_text("raise TypeError('no such thing')\n", encoding="utf-8")
    words = ["garage.runs.counting", str(source), "60", "--co", "-q", "-p", "no:cacheprovider", "tests/test_moments.py"]
    done = subprocess.run([sys.executable, "-m", "tests.mutation.one", *words], cwd=ROOT, capture_output=True)
    assert done.returncode == pytest.ExitCode.TESTS_FAILED and b"no such thing" in done.stderr


@pytest.mark.parametrize("is_wrong", [False, True])
def test_a_wrong_line_is_met_by_the_test_of_its_room_and_the_tree_stays_as_it_is(tmp_path: Path, is_wrong):
    [mutant] = [one for one in named_mutants() if one.operator == "C-rate ten times too small"]
    right = (ROOT / mutant.path).read_text(encoding="utf-8")
    source = tmp_path / "source.py"
    source.write_text(mutant.source if is_wrong else right, encoding="utf-8")
    asked = "tests/runs/test_derived.py::test_a_pack_emptied_in_an_hour_runs_at_one_c_and_sooner_at_as_many_times_more"
    words = ["garage.runs.derived", str(source), "60", "-q", "-p", "no:cacheprovider", f"--basetemp={tmp_path / 'tmp'}"]
    done = subprocess.run([sys.executable, "-m", "tests.mutation.one", *words, asked], cwd=ROOT, capture_output=True)
    assert done.returncode == int(is_wrong), done.stdout.decode()
    assert (ROOT / mutant.path).read_text(encoding="utf-8") == right


def test_a_line_is_tried_by_the_tests_that_run_it_and_one_loaded_once_by_those_of_its_module():
    known = Runs({(MUTANT.path, 7): ["a.py::one"]}, {MUTANT.path: ["a.py::one", "b.py"]})
    assert known.of(MUTANT) == ["a.py::one"]
    assert Runs({(MUTANT.path, 7): []}, known.by_file).of(MUTANT) == ["a.py::one", "b.py"]
    assert Runs({}, {}).of(MUTANT) == []


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
    tried = try_all(seed, 100, tmp_path, lambda one: None)
    with capsys.disabled():
        print(f"\nSeed {seed}:\n{table(tried)}")
    assert not [str(one.mutant) for one in tried if one.is_named and not one.is_caught]
    caught, drawn = latest(run_of(seed, tried))
    assert caught >= 0.85 * drawn, f"{caught} of {drawn} in the latest three runs"
    assert {room_of(one.mutant) for one in tried} == {"runs", "packs", "states", "findings", "calc"}
