"""Servers begun from a process that has everything loaded already: starting one takes no second of computing.

What is begun is a process of its own that runs the command `serve` as a person would; only its imports are inherited.
"""

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.durability.served import PATIENCE_S, ROOT, Server, free_port

_CODE = """
import gc, json, os, signal, sys
from garage.cli import main
import garage.serving
signal.signal(signal.SIGCHLD, signal.SIG_IGN)
for line in sys.stdin:
    words, log = json.loads(line)
    child = os.fork()
    if child:
        print(child, flush=True)
        continue
    out = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o644)
    os.dup2(out, 1), os.dup2(out, 2)
    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    os._exit(main(words))
"""


class BegunServer(Server):
    """A server begun by a nursery."""

    def __init__(self, folder: Path, pid: int, port: int, log: Path) -> None:
        self.port, self.address, self._log, self.pid = port, f"http://127.0.0.1:{port}", log, pid
        self.process = self  # type: ignore[assignment]

    def poll(self) -> int | None:
        """None while it runs."""
        return None if _is_alive(self.pid) else -1

    def kill(self) -> None:
        """End it at once, as a power cut would."""
        self._end(signal.SIGKILL)

    def stop(self) -> None:
        """End it as a person would."""
        self._end(signal.SIGTERM)

    def _end(self, how: signal.Signals) -> None:
        os.kill(self.pid, how)
        deadline = time.monotonic() + PATIENCE_S
        while _is_alive(self.pid):
            assert time.monotonic() < deadline
            time.sleep(0.002)


class Nursery:
    """Begins servers."""

    def __init__(self, process: subprocess.Popen) -> None:
        self._process = process

    def begin(self, folder: Path, *more: str) -> BegunServer:
        """A server on `folder`, not ready yet."""
        port = free_port()
        log = folder.parent / f"{folder.name}-{port}.log"
        assert self._process.stdin is not None and self._process.stdout is not None
        words = ["serve", "--data", str(folder), "--port", str(port), *more]
        self._process.stdin.write(json.dumps([words, str(log)]) + "\n")
        self._process.stdin.flush()
        return BegunServer(folder, int(self._process.stdout.readline()), port, log)


@contextmanager
def nursery() -> Iterator[Nursery]:
    """A nursery for the length of a test."""
    with subprocess.Popen(
        [sys.executable, "-u", "-c", _CODE], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as process:
        yield Nursery(process)
        assert process.stdin is not None
        process.stdin.close()


def _is_alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True
