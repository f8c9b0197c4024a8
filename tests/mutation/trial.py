"""A sample of mutants, tried room by room."""

import json
import random
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from tests.mutation.mutants import Mutant
from tests.mutation.mutated import changed_functions
from tests.mutation.named import named_mutants
from tests.mutation.rooms import LOADED, PYTEST, TESTS, Runs, environment, mutants_in, room_of, watch
from tests.paths import ROOT

_PASSED, _FAILED, _BROKEN = 0, 1, 2


@dataclass(frozen=True)
class Tried:
    """A mutant and what became of it; `tests` is how many tests (or whole files of tests) run its line."""

    mutant: Mutant
    is_caught: bool
    tests: int
    is_named: bool = False


def sample(seed: int, count: int) -> list[Mutant]:
    """So many mutants beside the named ones, as many of each room as of any other; none for fewer than one."""
    draws = random.Random(seed)
    of_each, more = divmod(max(count, 0), len(TESTS))
    return [
        mutant
        for number, room in enumerate(TESTS)
        for mutant in draws.sample(mutants_in(room), of_each + (number < more))
    ]


def try_all(
    seed: int, count: int, folder: Path, said: Callable[[Tried], None], at_once: int = 2, room: str = ""
) -> list[Tried]:
    """Try a sample of `count` mutants, the named ones among them; of a `room` those alone that are in it, so that the
    rooms one by one come to the whole. `said` hears of each. Raises RuntimeError where tests fail as the code stands.
    """
    named, rooms = named_mutants(), [room] if room else list(TESTS)
    mutants = [(one, True) for one in named] + [(one, False) for one in sample(seed, count - len(named))]

    def try_room(room: str) -> list[Tried]:
        return _try_room(room, [one for one in mutants if room_of(one[0]) == room], watch(room, folder), said)

    with ThreadPoolExecutor(at_once) as pool:
        return [tried for of_room in pool.map(try_room, rooms) for tried in of_room]


def _try_room(
    room: str, mutants: Sequence[tuple[Mutant, bool]], runs: Runs, said: Callable[[Tried], None]
) -> list[Tried]:
    tests = [runs.of(mutant) for mutant, _ in mutants]
    tried: list[Tried] = []

    def tell(number: int, code: int) -> None:
        mutant, is_named = mutants[number]
        if code not in (_PASSED, _FAILED, _BROKEN) and code >= 0:
            raise RuntimeError(f"{mutant}: pytest ended with {code}")
        tried.append(Tried(mutant, code != _PASSED, len(tests[number]), is_named))
        said(tried[-1])

    for number, asked in enumerate(tests):
        if not asked:
            tell(number, _PASSED)
    jobs: dict[bool, list[dict]] = {True: [], False: []}
    for number, (mutant, _) in enumerate(mutants):
        if tests[number]:
            job = {"number": number, "path": mutant.path, "source": mutant.source, "tests": tests[number]}
            jobs[_is_loading(mutant, runs)].append(job)
    with tempfile.TemporaryDirectory() as folder:
        asked = {"words": PYTEST, "room": [*LOADED, *TESTS[room]], "loading": jobs[True], "loaded": jobs[False]}
        for number, code in run_ready(asked, Path(folder)):
            tell(number, code)
    return tried


def run_ready(asked: dict, folder: Path) -> Iterator[tuple[int, int]]:
    """Try jobs in a process of their own (`ready.py`): the number of each and how pytest ended. Raises RuntimeError."""
    jobs = folder / "jobs.json"
    jobs.write_text(json.dumps(asked), encoding="utf-8")
    (folder / "tmp").mkdir()
    words = [sys.executable, "-m", "tests.mutation.ready", str(jobs)]
    with (folder / "errors").open("w+", encoding="utf-8") as errors:
        running = subprocess.Popen(
            words,
            cwd=ROOT,
            env=environment(TMPDIR=str(folder / "tmp")),
            stdout=subprocess.PIPE,
            stderr=errors,
            text=True,
        )
        assert running.stdout is not None
        with running, running.stdout:
            for line in running.stdout:
                number, code = map(int, line.split())
                yield number, code
        if running.returncode:
            errors.seek(0)
            raise RuntimeError(f"the tests could not be loaded:\n{errors.read()[-4000:]}")


def _is_loading(mutant: Mutant, runs: Runs) -> bool:
    right = (ROOT / mutant.path).read_text(encoding="utf-8")
    return runs.is_at_load(mutant) or changed_functions(right, mutant.source) is None
