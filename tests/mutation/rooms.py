"""The rooms whose lines are tried, the tests of each, and which of these run which line."""

import os
import subprocess
import sys
from collections import defaultdict
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from coverage import CoverageData

from tests.mutation.mutants import Mutant, mutants_of
from tests.paths import ROOT

# What packs and states show stands on pages of the rooms above them.
TESTS = {
    "runs": ("tests/runs",),
    "packs": ("tests/packs", "tests/items"),
    "states": ("tests/states", "tests/modifications"),
    "findings": ("tests/findings",),
    # A study asks whether the method holds in many worlds: minutes, and far from any one line.
    "calc": ("tests/calc", "--ignore=tests/calc/effect/test_study.py"),
}
PYTEST = ("-q", "-n", "0", "-p", "no:cacheprovider", "-m", "not long and not browser and not busy")


@dataclass(frozen=True)
class Runs:
    """Which tests run a line: those that run it themselves, and those whose fixtures do."""

    by_line: dict[tuple[str, int], list[str]]
    by_file: dict[str, list[str]]

    def of(self, mutant: Mutant) -> list[str]:
        """The tests that run a mutant's line; those that run its module where the line runs once, as it is loaded."""
        return self.by_line.get((mutant.path, mutant.line), []) or self.by_file.get(mutant.path, [])


def room_of(mutant: Mutant) -> str:
    """The room that a mutant is in."""
    return mutant.path.split("/")[1]


@cache
def mutants_in(room: str) -> list[Mutant]:
    """Every mutant of a room. Its tables are left out: tests/db holds them against the migrations."""
    files = [path for path in sorted((ROOT / "garage" / room).rglob("*.py")) if path.name != "tables.py"]
    return [
        mutant for path in files for mutant in mutants_of(str(path.relative_to(ROOT)), path.read_text(encoding="utf-8"))
    ]


def watch(room: str, folder: Path) -> Runs:
    """Run the tests of a room as the code stands, and note what each runs, in `folder`, where it is read if it is there
    already. Raises RuntimeError if a test fails."""
    data = folder / f"{room}.coverage"
    if data.exists():
        return _read(data)
    watched = [f"--cov=garage/{room}", "--cov-context=test", "--cov-report=", "--cov-config=/dev/null"]
    done = subprocess.run(
        [sys.executable, "-m", "pytest", *PYTEST, "-x", f"--basetemp={folder / room}", *watched, *TESTS[room]],
        cwd=ROOT,
        env=_environment(COVERAGE_FILE=str(data)),
        capture_output=True,
        text=True,
    )
    if done.returncode:
        raise RuntimeError(f"the tests of {room} fail as the code stands:\n{done.stdout[-2000:]}")
    return _read(data)


def _environment(**more: str) -> dict[str, str]:
    return os.environ | more


def _read(path: Path) -> Runs:
    data = CoverageData(str(path))
    data.read()
    by_line: dict[tuple[str, int], list[str]] = {}
    by_file: dict[str, dict[str, None]] = defaultdict(dict)
    for file in data.measured_files():
        name = str(Path(file).relative_to(ROOT))
        for line, contexts in data.contexts_by_lineno(file).items():
            by_line[name, line] = (tests := _tests(contexts))
            by_file[name] |= dict.fromkeys(tests)
    return Runs(by_line, {name: sorted(tests) for name, tests in by_file.items()})


def _tests(contexts: list[str]) -> list[str]:
    """The tests of some contexts (`node|phase`, empty while modules are loaded). A fixture may be made once for all
    tests of a file, so that a line which runs in one counts for the whole file."""
    named = [context.rsplit("|", 1) for context in contexts if "|" in context]
    own = {node for node, phase in named if phase == "run"}
    files = {node.split("::")[0] for node, phase in named if phase != "run"}
    return sorted(own) + sorted(files)
