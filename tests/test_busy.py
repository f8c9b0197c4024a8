"""Tests that hang on how fast the machine is are known, and hold while it is busy."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.busy import LOAD, is_timed, load
from tests.paths import ROOT


@pytest.mark.parametrize(
    ("text", "timed"),
    [
        ("deadline = time.monotonic() + 20", True),
        ("time.sleep(0.1)", True),
        ("page.wait_for_url('**/runs/2')", True),
        ("pytestmark = pytest.mark.browser", True),
        ("with Server(folder) as server:", True),
        ("at = Moment('2026-05-09T10:00:00Z', 0)", False),
        ("settings(deadline=None)", False),
    ],
)
def test_a_file_that_waits_or_reads_a_clock_is_known_by_its_text(tmp_path: Path, text, timed):
    path = tmp_path / "test_made.py"
    path.write_text(f"{text}\n", encoding="utf-8")
    assert is_timed(path) == timed


@pytest.mark.parametrize("name", ["journeys/test_logs.py", "durability/test_kill.py", "calc/effect/test_growth.py"])
def test_the_files_that_were_caught_out_before_are_among_them(name):
    assert is_timed(ROOT / "tests" / name)


def test_the_load_is_there_while_it_is_asked_for_and_gone_afterwards():
    with load(2) as burners:
        assert [burner.poll() for burner in burners] == [None, None]
    assert all(burner.poll() is not None for burner in burners)


@pytest.mark.long
def test_what_is_prone_to_timing_holds_while_the_machine_is_busy(tmp_path: Path):
    words = ["-q", "-n", "0", "-p", "no:cacheprovider", "-m", "busy and not long", f"--basetemp={tmp_path / 'tmp'}"]
    with load(LOAD):
        done = subprocess.run(
            [sys.executable, "-m", "pytest", *words, "tests"], cwd=ROOT, capture_output=True, text=True
        )
    assert done.returncode == 0, done.stdout[-4000:]
