"""A real server process on a data folder, to be ended in any way, and what the file says afterwards."""

import io
import os
import socket
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

import httpx

from garage.cli import main
from garage.paths import DATABASE_NAME

ROOT = Path(__file__).parents[2]
COMMAND = (sys.executable, "-m", "garage")
# No bound on how long anything takes: only so that what would never end does end.
PATIENCE_S = 900.0


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def run(*words: object) -> subprocess.CompletedProcess:
    """One command of the program, whole, within this process: what it does not catch fails the test."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        code = main([str(word) for word in words])
    return subprocess.CompletedProcess(words, code, out.getvalue(), err.getvalue())


class Server:
    """`garage serve` on a folder; everything it says is kept in `said`."""

    def __init__(self, folder: Path, *words: str, before: Callable[[], None] | None = None) -> None:
        self.port = free_port()
        self.address = f"http://127.0.0.1:{self.port}"
        self._log = folder.parent / f"{folder.name}-{self.port}.log"
        with self._log.open("w") as log:
            self.process = subprocess.Popen(
                [*COMMAND, "serve", "--data", str(folder), "--port", str(self.port), *words],
                cwd=ROOT, stdout=log, stderr=log, preexec_fn=before, env=os.environ | {"PYTHONUNBUFFERED": "1"},
            )  # fmt: skip

    @property
    def said(self) -> str:
        return self._log.read_text()

    def wait_ready(self, timeout_s: float = PATIENCE_S) -> "Server":
        """Wait until pages are answered; fails with what the server said."""
        deadline = time.monotonic() + timeout_s
        while time.monotonic() < deadline:
            assert self.process.poll() is None, f"the server ended: {self.said}"
            try:
                httpx.get(self.address + "/hulls.json", timeout=PATIENCE_S)
                return self
            except httpx.TransportError:
                time.sleep(0.03)
        raise AssertionError(f"the server did not come up: {self.said}")

    def kill(self) -> None:
        """End it at once, as a power cut would."""
        self.process.kill()
        self.process.wait()

    def stop(self) -> None:
        """End it as a person would."""
        self.process.terminate()
        self.process.wait(PATIENCE_S)


def file_is_whole(folder: Path) -> bool:
    """Whether SQLite finds nothing wrong with the file in `folder`."""
    with sqlite3.connect(folder / DATABASE_NAME) as connection:
        checked = connection.execute("PRAGMA integrity_check").fetchall()
        return checked == [("ok",)] and not connection.execute("PRAGMA foreign_key_check").fetchall()


def query(folder: Path, sql: str, values: Sequence = ()) -> list[tuple]:
    """Rows of the file in `folder`."""
    with sqlite3.connect(folder / DATABASE_NAME) as connection:
        return connection.execute(sql, values).fetchall()
