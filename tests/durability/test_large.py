"""A gigabyte of photos and ten thousand runs: backup, check and restore end, and hold little of it in memory."""

import hashlib
import os
import shutil
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from garage.paths import DATABASE_NAME
from tests.benchmarks.enlarge import enlarge
from tests.durability.served import ROOT, query

PHOTOS, PHOTO_BYTES = 250, 4_200_000
MOST_MEMORY_MB = 400
# Says after the command how much memory it held at most.
_MEASURED = (
    "import sys; from garage.cli import main; from tests.peak_memory import peak_mb; code = main(sys.argv[1:]); "
    "print('peak', peak_mb()); sys.exit(code)"
)


def _kept(folder: Path, content: bytes, ending: str) -> str:
    """The hash of a new file in the folder."""
    sha256 = hashlib.sha256(content).hexdigest()
    place = folder / "files" / sha256[:2]
    place.mkdir(exist_ok=True)
    (place / f"{sha256}.{ending}").write_bytes(content)
    return sha256


def _fill(folder: Path) -> None:
    with sqlite3.connect(folder / DATABASE_NAME) as connection:
        for number in range(PHOTOS):
            connection.execute(
                "INSERT INTO attachment (kind, owner, owner_id, at, offset_min, text, url, sha256, media_type,"
                " created_at) VALUES ('photo', 'hull', 1, '2026-05-01T10:00:00Z', 0, ?, '', ?, 'image/jpeg',"
                " '2026-05-01T10:00:00Z')",
                (f"photo {number}", _kept(folder, os.urandom(PHOTO_BYTES), "jpg")),
            )
        # A copied log needs a file of its own.
        for (log_id,) in connection.execute("SELECT id FROM log_file WHERE length(sha256) <> 64").fetchall():
            sha256 = _kept(folder, b"log %d" % log_id, "log")
            connection.execute("UPDATE log_file SET sha256 = ? WHERE id = ?", (sha256, log_id))


def _timed(*words: object) -> tuple[float, float]:
    """Seconds and peak of memory in MB of one command that must succeed.

    Copies of build states name copies of parts that their content does not: the check rightly finds that, alone.
    """
    began = time.monotonic()
    done = subprocess.run(
        [sys.executable, "-c", _MEASURED, *map(str, words)], cwd=ROOT, capture_output=True, text=True, check=False
    )
    wrong = [line for line in done.stdout.splitlines() if line.startswith("  ")]
    assert done.returncode == 0 or wrong and all("its changes" in line for line in wrong), done.stdout + done.stderr
    return time.monotonic() - began, float(done.stdout.rsplit("peak ", 1)[1])


@pytest.mark.long
def test_a_large_garage_is_backed_up_checked_and_restored_in_bounded_memory(demo_folder: Path, tmp_path: Path):
    if shutil.disk_usage(tmp_path).free < 8_000_000_000:
        pytest.skip("fewer than 8 GB are free here: not run")
    folder = Path(shutil.copytree(demo_folder, tmp_path / "large"))
    [[runs]] = query(folder, "SELECT count(*) FROM run")
    enlarge(folder / DATABASE_NAME, -(-10_000 // runs))
    _fill(folder)
    [[runs]] = query(folder, "SELECT count(*) FROM run")
    assert runs >= 10_000
    figures = {
        "backup": _timed("backup", tmp_path / "all.zip", "--data", folder),
        "check": _timed("check", "--data", folder),
        "restore": _timed("restore", tmp_path / "all.zip", "--data", tmp_path / "back"),
        "export": _timed("export", tmp_path / "export.zip", "--data", folder),
    }
    assert query(tmp_path / "back", "SELECT count(*) FROM run") == [(runs,)]
    size = PHOTOS * PHOTO_BYTES / 1e9
    said = ", ".join(f"{name} {seconds:.0f} s and {peak:.0f} MB" for name, (seconds, peak) in figures.items())
    print(f"{size:.2f} GB of photos, {runs} runs: {said}")
    assert max(peak for _, peak in figures.values()) < MOST_MEMORY_MB
