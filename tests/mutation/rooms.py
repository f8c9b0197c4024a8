"""The rooms whose lines are tried, the tests of each, and which of these run which line."""

import ast
import os
import subprocess
import sys
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
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
LOADED = ("-p", "tests.mutation.all_loaded")
PYTEST = ("-q", "-x", "-n", "0", "-p", "no:cacheprovider", "-m", "not long and not browser and not busy")


@dataclass(frozen=True)
class Runs:
    """Which tests of a room run a line, those first that run little else: they themselves, or a fixture of their file.
    `at_load` are the lines that run as their module is loaded, whose figures a test may go by that names it."""

    by_line: dict[tuple[str, int], list[str]]
    by_file: dict[str, list[str]]
    at_load: frozenset[tuple[str, int]] = frozenset()

    def of(self, mutant: Mutant) -> list[str]:
        """The tests, or whole files and folders of tests, that a mutant is tried with."""
        lines = [(mutant.path, line) for line in mutant.statement]
        own = list(dict.fromkeys(test for line in lines for test in self.by_line.get(line, [])))
        if self.at_load.isdisjoint(lines):
            return own
        of_file = (*_importing(room_of(mutant)).get(module_of(mutant), ()), *self.by_file.get(mutant.path, ()))
        # What no test names and none runs is used by others all the same.
        return list(dict.fromkeys((*own, *of_file))) or sorted({one for of in self.by_file.values() for one in of})

    def is_at_load(self, mutant: Mutant) -> bool:
        """Whether a mutant's line runs as its module is loaded."""
        return any((mutant.path, line) in self.at_load for line in mutant.statement)


def module_of(mutant: Mutant) -> str:
    """The module that a mutant is of."""
    return mutant.path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")


@cache
def _importing(room: str) -> dict[str, list[str]]:
    """The files of a room's tests that name a module themselves, by module: they go by its figures."""
    found: dict[str, list[str]] = defaultdict(list)
    folders = [ROOT / word for word in TESTS[room] if not word.startswith("-")]
    for path in (path for folder in folders for path in sorted(folder.rglob("test_*.py"))):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and node.module:
                for name in {node.module, *(f"{node.module}.{one.name}" for one in node.names)}:
                    found[name].append(str(path.relative_to(ROOT)))
    return found


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
        [sys.executable, "-m", "pytest", *LOADED, *PYTEST, f"--basetemp={folder / room}", *watched, *TESTS[room]],
        cwd=ROOT,
        env=environment(COVERAGE_FILE=str(data)),
        capture_output=True,
        text=True,
    )
    if done.returncode:
        raise RuntimeError(f"the tests of {room} fail as the code stands:\n{done.stdout[-2000:]}")
    return _read(data)


def environment(**more: str) -> dict[str, str]:
    """What a process of ours is started with."""
    return os.environ | more


def _read(path: Path) -> Runs:
    data = CoverageData(str(path))
    data.read()
    found: dict[tuple[str, int], set[str]] = {}
    at_load = set()
    for file in data.measured_files():
        name = str(Path(file).relative_to(ROOT))
        for line, contexts in data.contexts_by_lineno(file).items():
            found[name, line] = _tests(contexts)
            if "" in contexts:
                at_load.add((name, line))
    lines_of = Counter(test for tests in found.values() for test in tests)
    by_line = {line: _nearest_first(tests, lines_of) for line, tests in found.items()}
    by_file: dict[str, set[str]] = defaultdict(set)
    for (name, _), tests in found.items():
        by_file[name] |= tests
    return Runs(by_line, {name: _nearest_first(tests, lines_of) for name, tests in by_file.items()}, frozenset(at_load))


def _tests(contexts: list[str]) -> set[str]:
    """The tests of some contexts (`node|phase`, empty while modules are loaded). A fixture may be made once for all
    tests of a file, so that a line which runs in one counts for the whole file."""
    named = [context.rsplit("|", 1) for context in contexts if "|" in context]
    return {node if phase == "run" else node.split("::")[0] for node, phase in named}


def _nearest_first(tests: Iterable[str], lines_of: Mapping[str, int]) -> list[str]:
    """Those that run the fewest lines first, each with the others of its file: what is made for a file is made once."""
    ranked = sorted(tests, key=lambda test: (lines_of[test], test))
    files = {file: rank for rank, file in enumerate(dict.fromkeys(test.split("::")[0] for test in ranked))}
    return sorted(ranked, key=lambda test: files[test.split("::")[0]])
