"""Which files of tests are prone to timing: those that read a clock, wait for something or drive a browser or a server.

They carry the mark `busy` without being named anywhere; the long set runs them once more while the machine is busy.
"""

import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

_TIMED = re.compile(
    r"\btime\.(sleep|monotonic|perf_counter|process_time)\b|\bwait_|\bthreading\b|\bServer\(|effect_speed|mark\.browser"
)
LOAD = 8


@cache
def is_timed(path: Path) -> bool:
    """Whether what is tested in this file may hang on how fast the machine is just now."""
    return _TIMED.search(path.read_text(encoding="utf-8")) is not None


@contextmanager
def load(count: int = LOAD) -> Iterator[list[subprocess.Popen]]:
    """So many processes that want the whole of a core each."""
    burners = [subprocess.Popen([sys.executable, "-c", "while True: pass"]) for _ in range(count)]
    try:
        yield burners
    finally:
        for burner in burners:
            burner.kill()
            burner.wait()
