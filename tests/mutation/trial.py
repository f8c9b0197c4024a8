"""A sample of mutants, tried two at once."""

import random
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from tests.mutation.mutants import Mutant
from tests.mutation.named import named_mutants
from tests.mutation.rooms import PYTEST, TESTS, Runs, mutants_in, room_of, watch
from tests.paths import ROOT

AT_ONCE = 2
# Far beyond the slowest room on a slow machine; a wrong loop never ends.
MOST_CPU_S = 400
MOST_NAMED = 400
_PASSED, _FAILED, _BROKEN = 0, 1, 2


@dataclass(frozen=True)
class Tried:
    """A mutant and what became of it; `tests` is how many tests (or whole files of tests) run its line."""

    mutant: Mutant
    is_caught: bool
    tests: int
    is_named: bool = False


def sample(seed: int, count: int) -> list[Mutant]:
    """So many mutants beside the named ones, as many of each room as of any other."""
    draws = random.Random(seed)
    of_each, more = divmod(count, len(TESTS))
    return [
        mutant
        for number, room in enumerate(TESTS)
        for mutant in draws.sample(mutants_in(room), of_each + (number < more))
    ]


def try_all(seed: int, count: int, folder: Path, said: Callable[[Tried], None]) -> list[Tried]:
    """Try a sample of `count` mutants, the named ones among them, a room after the other; `said` hears of each. Raises
    RuntimeError where tests fail as the code stands."""
    named = named_mutants()
    mutants = [(one, True) for one in named] + [(one, False) for one in sample(seed, count - len(named))]
    with ThreadPoolExecutor(AT_ONCE) as pool:
        watched: dict[str, Future[Runs]] = {}
        attempts: list[Future[Tried]] = []

        def attempt(mutant: Mutant, is_named: bool) -> Tried:
            tests = watched[room_of(mutant)].result().of(mutant)
            tried = Tried(mutant, bool(tests) and _is_caught(mutant, tests), len(tests), is_named)
            said(tried)
            return tried

        # The next room is watched before the mutants of one are tried, so that nobody waits for long.
        for room, ahead in pairwise([*TESTS, ""]):
            for one in (room, ahead):
                if one and one not in watched:
                    watched[one] = pool.submit(watch, one, folder)
            attempts += [pool.submit(attempt, *one) for one in mutants if room_of(one[0]) == room]
        return [one.result() for one in attempts]


def _is_caught(mutant: Mutant, tests: Sequence[str]) -> bool:
    with tempfile.TemporaryDirectory() as text:
        return _try(mutant, tests, Path(text)) != _PASSED


def _try(mutant: Mutant, tests: Sequence[str], folder: Path) -> int:
    """How pytest ended."""
    wrong = folder / "wrong.py"
    wrong.write_text(mutant.source, encoding="utf-8")
    # Too many words for one line are a whole room's tests anyway.
    asked = tests if len(tests) < MOST_NAMED else sorted({test.split("::")[0] for test in tests})
    module = mutant.path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
    words = [module, str(wrong), str(MOST_CPU_S), *PYTEST, "-x", f"--basetemp={folder / 'tmp'}", *asked]
    done = subprocess.run(
        [sys.executable, "-m", "tests.mutation.one", *words], cwd=ROOT, capture_output=True, text=True
    )
    # Below nought it was ended by the system, since it would not end by itself.
    if done.returncode not in (_PASSED, _FAILED, _BROKEN) and done.returncode >= 0:
        raise RuntimeError(
            f"{mutant}: pytest ended with {done.returncode}:\n{done.stdout[-2000:]}{done.stderr[-2000:]}"
        )
    return done.returncode
