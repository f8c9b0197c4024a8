"""The check finds what is wrong, and nothing where nothing is."""

import sqlite3
from pathlib import Path

import pytest

from garage.archive.check import check
from garage.paths import DATABASE_NAME
from garage.schema import TRIGGERS
from tests.durability.served import run


def _meddle(folder: Path, *statements: str) -> None:
    """Change the file behind the program's back, its guards taken away and put back."""
    with sqlite3.connect(folder / DATABASE_NAME) as connection:
        for trigger in TRIGGERS:
            connection.execute(f"DROP TRIGGER {trigger.name}")
        for statement in statements:
            connection.execute(statement)
        for trigger in TRIGGERS:
            connection.execute(trigger.statement)


def _faults(folder: Path) -> dict[str, tuple[str, ...]]:
    return {finding.what: finding.faults for finding in check(folder).findings if finding.faults}


def test_the_demo_and_a_garage_in_use_are_good(demo_folder: Path, garage: Path):
    assert check(demo_folder).is_good and check(garage).is_good
    assert {finding.what: finding.looked_at for finding in check(garage).findings}["build states"] == "4"


_POINTERS = "notes, corrections and shelf entries"


@pytest.mark.parametrize(
    ("statement", "where", "words"),
    [
        ("UPDATE build_state SET content = replace(content, '12.0', '13.0')", "build states", "not that of"),
        ("UPDATE build_state SET fingerprint = replace(fingerprint, 1, 2)", "build states", "fingerprint"),
        ("UPDATE change SET detail = replace(detail, '12.0', '11.0')", "build states", "do not lead to"),
        ("DELETE FROM fingerprint WHERE state_id = 2", "build states", "does not lead to it"),
        ("UPDATE build_state SET content = '{' WHERE id = 2", "build states", "cannot be read"),
        ("UPDATE attachment SET owner = 'run', owner_id = 999 WHERE id = 1", _POINTERS, "not there"),
        ("UPDATE run SET hull_id = 2 WHERE hull_id = 1", _POINTERS, "another hull"),
        ("DELETE FROM water", "the notebook's file", "not there"),
    ],
)  # fmt: skip
def test_meddling_with_rows_is_found(garage: Path, statement: str, where: str, words: str):
    _meddle(garage, statement)
    faults = _faults(garage)
    assert any(words in fault for fault in faults[where])


def test_a_guard_taken_away_is_found(garage: Path):
    with sqlite3.connect(garage / DATABASE_NAME) as connection:
        connection.execute(f"DROP TRIGGER {TRIGGERS[0].name}")
    assert _faults(garage) == {"guards": (f"The guard {TRIGGERS[0].name} is missing.",)}


def test_damaged_pages_of_the_file_are_found(garage: Path):
    content = bytearray((garage / DATABASE_NAME).read_bytes())
    content[4096 * 5 : 4096 * 12] = b"\0" * (4096 * 7)
    (garage / DATABASE_NAME).write_bytes(content)
    done = run("check", "--data", garage)
    assert done.returncode == 1 and "damaged" in done.stdout and "Traceback" not in done.stderr


def test_a_photo_missing_and_one_changed_are_found(garage: Path):
    first, second = sorted((garage / "files").rglob("*.png"))
    first.unlink()
    second.write_bytes(second.read_bytes() + b"x")
    words = " ".join(_faults(garage)["photos and recordings"])
    assert first.stem in words and second.stem in words and "missing" in words and "damaged" in words


def test_no_garage_and_another_programs_file_are_said_in_words(tmp_path: Path):
    assert run("check", "--data", tmp_path).returncode == 1
    with sqlite3.connect(tmp_path / DATABASE_NAME) as connection:
        connection.execute("CREATE TABLE theirs (id)")
    assert "another program" in run("check", "--data", tmp_path).stdout
    (tmp_path / DATABASE_NAME).write_bytes(b"no database at all " * 100)
    done = run("check", "--data", tmp_path)
    assert done.returncode == 1 and "Traceback" not in done.stderr
