"""A power cut at the moment something is said to be kept takes nothing of it: every flush comes before those words."""

import os
from pathlib import Path

import pytest
from sqlalchemy import event
from starlette.testclient import TestClient

from garage.archive import command
from tests.durability.conftest import picture
from tests.durability.power import Disk
from tests.durability.served import run
from tests.logs.made import gpx, there_and_back

pytestmark = pytest.mark.skipif(not os.path.isdir("/proc/self/fd"), reason="no /proc here: flushes cannot be followed")

_TRACK = there_and_back(20.0, 5.0).track()
_POSTS = {
    "a picture": ("/attachments/hull/1", {"attach_files": ("a.png", picture(9), "image/png")}),
    "a log": ("/runs/1/logs", {"log_files": ("a.gpx", gpx(_TRACK), "application/gpx+xml")}),
    "a spreadsheet": ("/import", {"sheet": ("a.csv", b"date,speed\n2026-05-01,71\n", "text/csv")}),
}


@pytest.mark.parametrize("links", [True, False], ids=["with links", "without links"])
@pytest.mark.parametrize("what", _POSTS)
def test_a_file_and_every_folder_above_it_is_flushed_before_its_row_is_kept(
    garage: Path, make_app, monkeypatch, what: str, links: bool
):
    def refused(*_places) -> None:
        raise PermissionError("no links on this disk")

    app = make_app(garage)
    if not links:
        monkeypatch.setattr(os, "link", refused)
    disk = Disk(garage.parent, monkeypatch)
    before, at_commits = set(disk.kept()), []
    event.listen(app.state.engine, "commit", lambda _: at_commits.append((set(disk.kept()) - before, disk.lost())))
    address, files = _POSTS[what]
    answer = TestClient(app, client=("127.0.0.1", 50000), follow_redirects=False).post(address, files=files)
    assert answer.status_code == 303, answer.text
    came, _ = at_commits[-1]
    assert came and all(path.parent.parent == garage / "files" for path in came)
    assert [lost for _, lost in at_commits if lost] == []
    made = {call.place for call in disk.calls if call.what == "mkdir"}
    assert made >= {path.parent for path in came}, "no folder was new, so this showed less than it should"


def _run_through(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *words: object) -> tuple[Disk, list[str]]:
    """Run a command of the program; the disk, and what a power cut would have taken as the first line was said."""
    disk, lost = Disk(tmp_path, monkeypatch), []

    def say(*_words, **_options) -> None:
        lost.append(disk.lost() + [line for path in tmp_path.glob("new/garage.sqlite") for line in disk.why_lost(path)])

    monkeypatch.setattr(command, "print", say, raising=False)
    done = run(*words)
    assert done.returncode == 0, done.stderr
    return disk, lost[0]


@pytest.mark.parametrize("how", ["backup", "export"])
def test_a_backup_and_an_archive_are_on_the_disk_before_it_is_said(garage: Path, tmp_path: Path, monkeypatch, how: str):
    target = tmp_path / "deep" / "down" / "all.zip"
    disk, lost = _run_through(tmp_path, monkeypatch, how, target, "--data", garage)
    assert target in disk.kept() and lost == []


@pytest.mark.parametrize(("made_by", "taken_by"), [("backup", "restore"), ("export", "import")])
def test_what_comes_back_is_on_the_disk_before_the_notebook_is_in_its_place_and_before_it_is_said(
    garage: Path, tmp_path: Path, monkeypatch, made_by: str, taken_by: str
):
    assert run(made_by, tmp_path / "all.zip", "--data", garage).returncode == 0
    disk, lost = _run_through(tmp_path, monkeypatch, taken_by, tmp_path / "all.zip", "--data", tmp_path / "new")
    assert len(list((tmp_path / "new" / "files").rglob("*.png"))) == 2
    assert disk.lost_at_swap == []
    assert lost == []


def test_what_was_there_before_a_restore_is_on_the_disk_before_the_notebook_is_in_its_place(
    garage: Path, tmp_path: Path, monkeypatch
):
    assert run("backup", tmp_path / "all.zip", "--data", garage).returncode == 0
    garage.rename(tmp_path / "new")
    disk, lost = _run_through(tmp_path, monkeypatch, "restore", tmp_path / "all.zip", "--data", tmp_path / "new")
    assert list(tmp_path.glob("new/backups/garage-before-restore-*.zip"))
    assert disk.lost_at_swap == [] and lost == []


def test_a_notebook_too_damaged_for_a_backup_is_copied_to_the_disk_before_the_restored_one_takes_its_place(
    garage: Path, tmp_path: Path, monkeypatch
):
    assert run("backup", tmp_path / "all.zip", "--data", garage).returncode == 0
    (garage / "garage.sqlite").write_bytes(b"scribbled over")
    disk, _ = _run_through(tmp_path, monkeypatch, "restore", tmp_path / "all.zip", "--data", garage)
    [copy] = garage.glob("damaged-*/garage.sqlite")
    assert disk.why_lost(copy) == []
    swap = max(
        place for place, call in enumerate(disk.calls) if call.what == "replace" and call.place == garage / copy.name
    )
    assert copy.parent in [call.place for call in disk.calls[:swap] if call.what == "fsync"]


def test_the_disk_of_these_tests_notices_what_is_not_flushed(tmp_path: Path, monkeypatch):
    disk = Disk(tmp_path, monkeypatch)
    (tmp_path / "some").mkdir()
    part, target = tmp_path / "part", tmp_path / "some" / "a.zip"
    part.write_bytes(b"x")
    os.replace(part, target)
    assert [line.partition(": ")[2] for line in disk.lost()] == [
        "its content was not flushed", "the name some/a.zip was not flushed", "the name some was not flushed",
    ]  # fmt: skip
    for place, left in ((target, 2), (tmp_path / "some", 1), (tmp_path, 0)):
        opened = os.open(place, os.O_RDONLY)
        os.fsync(opened)
        os.close(opened)
        assert len(disk.lost()) == left
