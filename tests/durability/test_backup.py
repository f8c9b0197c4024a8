"""Backups: whole, read back, restored to the byte; damaged and foreign ones refused with nothing changed."""

import json
import shutil
import sqlite3
import threading
import time
import zipfile
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from garage.archive.check import check
from garage.db import backup as backups
from garage.db.backup import write_backup
from garage.db.engine import open_engine, writing
from garage.db.folder_lock import held
from garage.db.kept_backups import DAILY
from garage.db.migrate import HEAD
from garage.db.restore import restore
from garage.errors import UnusableData
from garage.paths import DATABASE_NAME
from tests.durability.pages import SOME, every_twin
from tests.durability.served import query, run

NOON = datetime(2026, 5, 9, 12, 0, tzinfo=UTC)
pytestmark = pytest.mark.usefixtures("small_garage")


def _content(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted((folder / "files").rglob("*")) if path.is_file()
    } | {"rows": "\n".join(sqlite3.connect(folder / DATABASE_NAME).iterdump()).encode()}  # fmt: skip


@pytest.mark.parametrize("of_each", [SOME, pytest.param(None, marks=pytest.mark.long)], ids=["some", "all"])
def test_the_drill_demo_backup_wipe_restore_and_every_row_file_and_page_is_equal_to_the_byte(
    demo_folder: Path, demo_pages: dict[str, bytes], tmp_path: Path, make_app, of_each: int | None
):
    """Pages are made of nothing but rows, files and the clock: all of those are compared, and pages of every kind."""
    folder = Path(shutil.copytree(demo_folder, tmp_path / "demo"))
    before = demo_pages if of_each == SOME else every_twin(make_app, folder, of_each)
    held = _content(folder)
    write_backup(folder, tmp_path / "all.zip", DAILY, NOON)
    shutil.rmtree(folder)
    folder.mkdir()
    restore(tmp_path / "all.zip", folder, NOON)
    assert _content(folder) == held
    after = every_twin(make_app, folder, of_each)
    assert len(before) > (150 if of_each else 1000)
    assert {path for path in before if before[path] != after.get(path)} == set()
    assert set(after) == set(before)


def test_a_backup_made_while_the_garage_is_written_to_holds_one_moment(garage: Path, tmp_path: Path):
    engine = open_engine(garage / DATABASE_NAME)
    stop = threading.Event()

    def write_pairs() -> None:
        while not stop.is_set():
            with writing(engine) as session:
                connection = session.connection()
                connection.exec_driver_sql("INSERT INTO fact VALUES ('a' || (SELECT count(*) FROM fact), 'x')")
                connection.exec_driver_sql("INSERT INTO fact VALUES ('b' || (SELECT count(*) FROM fact), 'x')")

    writer = threading.Thread(target=write_pairs)
    writer.start()
    try:
        for turn in range(3):
            while query(garage, "SELECT count(*) FROM fact")[0][0] < 5 * turn + 5:
                time.sleep(0.01)
            write_backup(garage, tmp_path / f"{turn}.zip", DAILY, NOON)
    finally:
        stop.set()
        writer.join()
    counts = []
    for turn in range(3):
        restore(tmp_path / f"{turn}.zip", tmp_path / f"to{turn}", NOON)
        counts.append(query(tmp_path / f"to{turn}", "SELECT sum(name LIKE 'a%'), sum(name LIKE 'b%') FROM fact")[0])
    assert all(first == second for first, second in counts)
    assert counts[0][0] < counts[2][0], "nothing was written meanwhile, so this showed nothing"


def test_a_restore_keeps_what_was_there_and_can_itself_be_taken_back(garage: Path, tmp_path: Path):
    write_backup(garage, tmp_path / "old.zip", DAILY, NOON)
    with sqlite3.connect(garage / DATABASE_NAME) as connection:
        connection.execute("UPDATE hull SET notes = 'written later' WHERE id = 1")
    done = restore(tmp_path / "old.zip", garage, NOON)
    assert query(garage, "SELECT notes FROM hull WHERE id = 1") == [("",)]
    assert done.kept_before is not None
    restore(done.kept_before, garage, NOON + timedelta(seconds=5))
    assert query(garage, "SELECT notes FROM hull WHERE id = 1") == [("written later",)]


def test_a_garage_too_damaged_for_a_backup_is_kept_as_it_is_and_restored(garage: Path, tmp_path: Path):
    write_backup(garage, tmp_path / "good.zip", DAILY, NOON)
    good = _content(garage)
    damaged = bytearray((garage / DATABASE_NAME).read_bytes())
    damaged[4096 * 3 : 4096 * 20] = b"\xff" * (4096 * 17)
    (garage / DATABASE_NAME).write_bytes(damaged)
    assert not check(garage).is_good
    done = restore(tmp_path / "good.zip", garage, NOON)
    assert done.kept_before is not None
    assert (done.kept_before / DATABASE_NAME).read_bytes() == bytes(damaged)
    assert _content(garage) == good
    assert check(garage).is_good


def test_a_photo_that_was_damaged_or_lost_comes_back(garage: Path, tmp_path: Path):
    write_backup(garage, tmp_path / "good.zip", DAILY, NOON)
    good = _content(garage)
    first, second = sorted((garage / "files").rglob("*.png"))
    first.write_bytes(b"scribbled over")
    second.unlink()
    assert len([fault for finding in check(garage).findings for fault in finding.faults]) == 2
    assert restore(tmp_path / "good.zip", garage, NOON).manifest.faults == ()
    assert _content(garage) == good


@pytest.mark.parametrize("where", ["first", "photo", "manifest", "middle of the rows", "end"])
def test_a_damaged_backup_is_refused_and_nothing_changes(garage: Path, tmp_path: Path, where: str):
    good = tmp_path / "good.zip"
    write_backup(garage, good, DAILY, NOON)
    content = bytearray(good.read_bytes())
    with zipfile.ZipFile(good) as archive:
        offsets = {info.filename: info.header_offset + 30 + len(info.filename) + 20 for info in archive.infolist()}
        photo = next(name for name in offsets if name.endswith(".png"))
    place = {
        "first": 0, "photo": offsets[photo] + 8, "manifest": offsets["manifest.json"] + 5,
        "middle of the rows": offsets[photo] // 2, "end": len(content) - 10,
    }[where]  # fmt: skip
    content[place] ^= 0xFF
    (tmp_path / "bad.zip").write_bytes(content)
    before = _content(garage)
    with pytest.raises(UnusableData, match="nothing was changed"):
        restore(tmp_path / "bad.zip", garage, NOON)
    assert _content(garage) == before
    assert not list(garage.glob("backups/*before-restore*")) and not list(garage.glob(".restoring-*"))


def test_half_a_backup_is_refused(garage: Path, tmp_path: Path):
    write_backup(garage, tmp_path / "good.zip", DAILY, NOON)
    content = (tmp_path / "good.zip").read_bytes()
    for part in (0, 10, len(content) // 2, len(content) - 1):
        (tmp_path / "half.zip").write_bytes(content[:part])
        with pytest.raises(UnusableData):
            restore(tmp_path / "half.zip", garage, NOON)


def _zip(path: Path, manifest: dict | None, names: tuple[str, ...] = (DATABASE_NAME,)) -> Path:
    with zipfile.ZipFile(path, "w") as archive:
        for name in names:
            archive.writestr(name, b"x")
        if manifest is not None:
            archive.writestr("manifest.json", json.dumps(manifest))
    return path


_MINE = {"name": DATABASE_NAME, "size_bytes": 1, "sha256": "0" * 64}
_OUTSIDE = _MINE | {"name": "../../evil"}


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (None, "no backup|not a backup"),
        ({"format": "another program's"}, "not a backup"),
        ({"version": 2}, "newer version"),
        ({"revision": "9999"}, "newer version"),
        ({"entries": []}, "not a backup"),
        ({"entries": [_MINE, _OUTSIDE]}, "not a backup"),
        ({"entries": [_MINE | {"size_bytes": "many", "sha256": 3}]}, "not a backup"),
        ({"entries": "all"}, "not a backup"),
    ],
)
def test_foreign_and_newer_files_are_refused_in_words(garage: Path, tmp_path: Path, changes, words):
    good = {
        "format": "garage notebook backup", "version": 1, "made_at": "", "why": "", "revision": HEAD,
        "is_demo": False, "faults": [], "entries": [_MINE],
    }  # fmt: skip
    path = _zip(tmp_path / "theirs.zip", None if changes is None else good | changes, (DATABASE_NAME, "../../evil"))
    before = _content(garage)
    with pytest.raises(UnusableData, match=words):
        restore(path, garage, NOON)
    assert _content(garage) == before
    assert not (tmp_path.parent / "evil").exists()


def test_demo_and_real_garage_are_never_mixed(demo_folder: Path, garage: Path, tmp_path: Path):
    write_backup(demo_folder, tmp_path / "demo.zip", DAILY, NOON)
    with pytest.raises(UnusableData, match="never mixed"):
        restore(tmp_path / "demo.zip", garage, NOON)


def test_a_garage_that_is_served_is_not_restored(garage: Path, tmp_path: Path):
    write_backup(garage, tmp_path / "good.zip", DAILY, NOON)
    with held(garage):
        done = run("restore", tmp_path / "good.zip", "--data", garage)
    assert done.returncode == 2
    assert "in use already" in done.stderr and "Traceback" not in done.stderr


def test_the_commands_say_what_they_did(garage: Path, tmp_path: Path):
    made = run("backup", tmp_path / "mine.zip", "--data", garage)
    assert made.returncode == 0 and "found whole" in made.stdout
    again = run("backup", tmp_path / "mine.zip", "--data", garage)
    assert again.returncode == 2 and "nothing was written over" in again.stderr
    back = run("restore", tmp_path / "mine.zip", "--data", tmp_path / "new")
    assert back.returncode == 0 and "held against its hash" in back.stdout
    assert run("check", "--data", tmp_path / "new").stdout.endswith("All is well.\n")


def test_nothing_is_left_where_there_is_no_room_for_a_backup(garage: Path, tmp_path: Path, monkeypatch):
    monkeypatch.setattr(backups.shutil, "disk_usage", lambda _: shutil._ntuple_diskusage(10, 9, 1))
    with pytest.raises(UnusableData, match="MB are free"):
        write_backup(garage, tmp_path / "out" / "no.zip", DAILY, NOON)
    assert list((tmp_path / "out").iterdir()) == []
