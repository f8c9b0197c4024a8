"""Tries wrong lines of a room one after the other, each in a process forked from one where all else is loaded.

`python -m tests.mutation.ready JOBS` prints the number of each and how pytest ended. A line that runs as its module is
loaded is tried before the program is loaded; any other is put into the functions that are, with the tests collected.
The tree stays as it is.
"""

import json
import os
import resource
import shutil
import sys
import tempfile
import traceback
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path

import pytest
from hypothesis import given, strategies

from tests.mutation.mutated import WrongModule, changed_functions, put_in
from tests.paths import ROOT

# What program and tests load of others: the greater part of a start.
_LIBRARIES = (
    "alembic.command", "fastapi", "httpx", "jinja2", "numpy", "PIL.Image", "playwright.sync_api",
    "sqlalchemy.dialects.sqlite", "sqlmodel", "starlette.testclient",
)  # fmt: skip
# Far beyond the slowest room on a slow machine; a wrong loop never ends. By the processor's clock, not the wall's.
MOST_CPU_S = 400


class Chosen:
    """Only some tests, in their order: named themselves or by their file."""

    def __init__(self, tests: Sequence[str]) -> None:
        self._tests = tests

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Leave them alone."""
        by_name: dict[str, list[pytest.Item]] = {}
        for item in items:
            for name in (item.nodeid, item.nodeid.split("::")[0]):
                by_name.setdefault(name, []).append(item)
        items[:] = dict.fromkeys(item for test in self._tests for item in by_name.get(test, []))


class _Tries:
    """Instead of running the tests that it has collected, a session tries wrong lines with them."""

    def __init__(self, jobs: Sequence[dict], out: int) -> None:
        self._jobs, self._out = jobs, out
        self.is_forked = False

    def pytest_runtestloop(self, session: pytest.Session) -> bool | None:
        """Answer for all of them, but leave those of a fork to pytest."""
        for job in self._jobs:
            folder = tempfile.mkdtemp()
            if pid := os.fork():
                _say(self._out, job, pid, folder)
                continue
            self.is_forked = True
            _limit()
            put_in(changed_functions((ROOT / job["path"]).read_text(encoding="utf-8"), job["source"]) or {})
            Chosen(job["tests"]).pytest_collection_modifyitems(session.items)
            session.testscollected = len(session.items)
            session.config._tmp_path_factory._basetemp = Path(folder)
            return None
        return True


def main(jobs_file: str) -> int:
    """Try each; 0 unless the tests cannot be collected."""
    asked = json.loads(Path(jobs_file).read_text(encoding="utf-8"))
    out = os.dup(1)
    os.dup2(2, 1)
    for library in _LIBRARIES:
        import_module(library)
    # The first property of a process takes as long as many after it.
    given(strategies.floats())(lambda number: None)()
    for job in asked["loading"]:
        folder = tempfile.mkdtemp()
        if pid := os.fork():
            _say(out, job, pid, folder)
        else:
            files = sorted({test.split("::")[0] for test in job["tests"]})
            os._exit(_try_loading(job, [*asked["words"], f"--basetemp={folder}", *files]))
    if not asked["loaded"]:
        return 0
    tries = _Tries(asked["loaded"], out)
    code = int(pytest.main([*asked["words"], *asked["room"]], plugins=[tries]))
    if tries.is_forked:
        os._exit(code)
    return code


def _say(out: int, job: dict, pid: int, folder: str) -> None:
    """Wait for a fork, and tell how it ended: below nought by the system, since it would not end by itself."""
    _, status = os.waitpid(pid, 0)
    shutil.rmtree(folder, ignore_errors=True)
    os.write(out, f"{job['number']} {os.waitstatus_to_exitcode(status)}\n".encode())


def _limit() -> None:
    resource.setrlimit(resource.RLIMIT_CPU, (MOST_CPU_S, MOST_CPU_S))


def _try_loading(job: dict, words: Sequence[str]) -> int:
    _limit()
    module = job["path"].removesuffix(".py").removesuffix("/__init__").replace("/", ".")
    sys.meta_path.insert(0, WrongModule(module, job["source"]))
    try:
        import_module(module)
    except Exception:
        # No test could begin with it, so that any of them would tell.
        traceback.print_exc()
        return int(pytest.ExitCode.TESTS_FAILED)
    return int(pytest.main(list(words), plugins=[Chosen(job["tests"])]))


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
