"""The disk full, the folder not to be written to, the file locked by another: words on the page, nothing lost."""

import ctypes
import os
import resource
import shutil
import signal
import sqlite3
import subprocess
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from garage.paths import DATABASE_NAME
from tests.durability.conftest import picture
from tests.durability.nursery import Nursery
from tests.durability.served import PATIENCE_S, Server, file_is_whole, query, run

_DROP_FROM_BOUNDING_SET, _WRITES_ANYWHERE = 24, 1  # prctl(2) and capabilities(7)


@pytest.fixture
def full_soon(tmp_path: Path) -> Iterator[Path]:
    """A file system of 6 MB, where this machine lets a test mount one."""
    place = tmp_path / "small-disk"
    place.mkdir()
    options = ("-t", "tmpfs", "-o", "size=6m", "tmpfs")
    if subprocess.run(["mount", *options, place], capture_output=True, check=False).returncode != 0:
        pytest.skip("this machine lets no test mount a file system: the limit on the file's size stands for it")
    yield place
    subprocess.run(["umount", "-l", place], check=True)


def _fill(server: Server, most: int, *, after: int = 0) -> tuple[list[str], list[str]]:
    """Write notes and pictures until some are refused; the marks kept, and the words of refusal. Marks are
    numbered from `after` on."""
    kept, refusals = [], []
    with httpx.Client(base_url=server.address, timeout=PATIENCE_S) as client:
        for turn in range(after, after + most):
            mark = f"mark {turn} " + "x" * 4000
            if turn % 3 == 2:
                files = {"attach_files": ("a.png", os.urandom(8) and picture(turn, 600), "image/png")}
                answer = client.post("/attachments/hull/1", data={"attach_text": mark}, files=files)
            else:
                answer = client.post("/attachments/quick", data={"attach_text": mark})
            if answer.status_code == 303:
                kept.append(mark)
            else:
                assert answer.status_code == 503, answer.text
                refusals.append(answer.text)
            if len(refusals) >= 6:
                break
        assert client.get("/attachments/unsorted.json").status_code == 200, "what is there can still be read"
    return kept, refusals


def _all_there(garage: Path, kept: list[str]) -> bool:
    there = {row[0] for row in query(garage, "SELECT text FROM attachment")}
    return set(kept) <= there and len(there & {mark for mark in there if mark.startswith("mark ")}) == len(set(kept))


def test_a_full_disk_is_said_in_words_and_loses_nothing(garage: Path, full_soon: Path, begun: Nursery):
    folder = full_soon / "garage"
    subprocess.run(["cp", "-r", garage, folder], check=True)
    server = begun.begin(folder).wait_ready()
    kept, refusals = _fill(server, 30)
    assert kept and not refusals
    # Most of what is left is taken by something else at once.
    (full_soon / "else.bin").write_bytes(bytes(max(shutil.disk_usage(full_soon).free - 400_000, 0)))
    kept_then, refusals = _fill(server, 3000, after=30)
    kept += kept_then
    server.stop()
    assert kept and len(refusals) == 6, "the disk was never full"
    assert all("disk" in words and "Nothing was changed" in words for words in refusals)
    subprocess.run(["mount", "-o", "remount,size=60m", full_soon], check=True)
    assert file_is_whole(folder) and _all_there(folder, kept)
    again = begun.begin(folder).wait_ready()
    assert httpx.post(again.address + "/attachments/quick", data={"attach_text": "room again"}).status_code == 303
    again.stop()


def test_a_file_that_may_grow_no_more_is_said_in_words_and_loses_nothing(garage: Path):
    limit = (garage / DATABASE_NAME).stat().st_size + 300_000

    def limited() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)

    server = Server(garage, before=limited).wait_ready()
    kept, refusals = _fill(server, 3000)
    server.stop()
    assert kept and len(refusals) == 6, "the limit was never met"
    assert all("Nothing was changed" in words for words in refusals)
    assert file_is_whole(garage) and _all_there(garage, kept)


def test_no_backup_is_left_half_made_on_a_full_disk(garage: Path, full_soon: Path):
    done = run("backup", full_soon / "all.zip", "--data", garage)
    assert done.returncode == 2 and "MB are free" in done.stderr and "Traceback" not in done.stderr
    assert list(full_soon.iterdir()) == []


def _without_rights_of_root() -> None:
    """Root may write anywhere; a program begun after this may not, even as root."""
    if os.geteuid() == 0:
        ctypes.CDLL(None).prctl(_DROP_FROM_BOUNDING_SET, _WRITES_ANYWHERE, 0, 0, 0)


@pytest.fixture
def unwritable(garage: Path) -> Iterator[Path]:
    """A garage that its reader may not write to."""
    for path in (garage, *garage.rglob("*")):
        path.chmod(0o555 if path.is_dir() else 0o444)
    yield garage
    for path in (garage, *garage.rglob("*")):
        path.chmod(0o755 if path.is_dir() else 0o644)


def test_a_folder_that_cannot_be_written_to_is_refused_in_words_and_can_be_looked_at(unwritable: Path):
    server = Server(unwritable, before=_without_rights_of_root)
    assert server.process.wait(30) == 2
    assert "Nothing can be written in" in server.said and "Traceback" not in server.said
    looking_on = Server(unwritable, "--read-only", before=_without_rights_of_root).wait_ready()
    assert "Medlar" in httpx.get(looking_on.address + "/hulls").text
    looking_on.stop()


def test_a_file_locked_by_another_program_is_said_in_words_and_nothing_is_lost(garage: Path, begun: Nursery):
    server = begun.begin(garage).wait_ready()
    holder = sqlite3.connect(garage / DATABASE_NAME, isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    try:
        answer = httpx.post(server.address + "/attachments/quick", data={"attach_text": "waits"}, timeout=PATIENCE_S)
    finally:
        holder.execute("ROLLBACK")
        holder.close()
    assert answer.status_code == 503 and "another program" in answer.text
    assert httpx.get(server.address + "/attachments/unsorted").status_code == 200
    assert httpx.post(server.address + "/attachments/quick", data={"attach_text": "goes in"}).status_code == 303
    server.stop()
    texts = [row[0] for row in query(garage, "SELECT text FROM attachment")]
    assert "goes in" in texts and "waits" not in texts
