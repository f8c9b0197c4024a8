"""The real server ended at any moment while several clients write: all it said it kept is there, nothing half."""

import random
import threading
import time
from dataclasses import dataclass, field
from pathlib import Path

import httpx
import pytest

from garage.archive.check import check
from tests.durability.conftest import picture
from tests.durability.nursery import Nursery
from tests.durability.served import PATIENCE_S, Server, file_is_whole, query

WRITERS = 4


@dataclass
class Kept:
    """What the server said it kept, by kind: a mark that stands in the row."""

    runs: list[str] = field(default_factory=list)
    steps: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    photos: list[str] = field(default_factory=list)
    charges: list[str] = field(default_factory=list)

    @property
    def count(self) -> int:
        return sum(len(marks) for marks in vars(self).values())


class Writer(threading.Thread):
    """One client that writes runs, steps, notes, photos and charges until the line breaks."""

    def __init__(self, address: str, seed: int, garage: Path, kept: Kept) -> None:
        super().__init__(daemon=True)
        self._address, self._seed, self._kept = address, seed, kept
        self._random = random.Random(seed)
        [[self._outing]] = query(garage, "SELECT max(id) FROM outing")
        [[self._work]] = query(garage, "SELECT max(id) FROM modification")
        self._packs = [row[0] for row in query(garage, "SELECT id FROM pack")]
        self.refused: list[str] = []

    def run(self) -> None:
        with httpx.Client(base_url=self._address, timeout=PATIENCE_S) as client:
            for turn in range(10_000):
                kind = self._random.choice(("runs", "steps", "notes", "photos", "charges"))
                mark = f"{kind}-{self._seed}-{turn}"
                try:
                    answer = getattr(self, f"_{kind}")(client, mark)
                except httpx.TransportError:
                    return
                if answer.status_code == 303:
                    getattr(self._kept, kind).append(mark)
                else:
                    words = answer.text.partition('role="alert"')[2][:300]
                    self.refused.append(f"{mark}: {answer.status_code} {words}")

    def _runs(self, client: httpx.Client, mark: str) -> httpx.Response:
        pack = str(self._random.choice(self._packs))
        data = {
            "hull": "1", "outing": str(self._outing), "pack": pack,
            "pack_anyway": "yes", "speed": "71", "note": mark, "kept_pack": pack, "kept_speed": "71",
        }  # fmt: skip
        return client.post("/runs/new", data=data)

    def _steps(self, client: httpx.Client, mark: str) -> httpx.Response:
        return client.post(f"/modifications/{self._work}/steps/new", data={"action": "cut", "what": mark})

    def _notes(self, client: httpx.Client, mark: str) -> httpx.Response:
        return client.post("/attachments/quick", data={"attach_text": mark})

    def _photos(self, client: httpx.Client, mark: str) -> httpx.Response:
        content = picture(self._random.randrange(60_000))
        files = {"attach_files": (f"{mark}.png", content, "image/png")}
        return client.post("/attachments/hull/1", data={"attach_text": mark}, files=files)

    def _charges(self, client: httpx.Client, mark: str) -> httpx.Response:
        data = {"kind": "bench", "charge": "2000", "at": "2026-05-09T10:00", "note": mark}
        return client.post(f"/packs/{self._random.choice(self._packs)}/log", data=data)


_WHERE = {
    "runs": "SELECT note FROM run WHERE note LIKE 'runs-%'",
    "steps": "SELECT what FROM step WHERE what LIKE 'steps-%'",
    "notes": "SELECT text FROM attachment WHERE text LIKE 'notes-%'",
    "photos": "SELECT text FROM attachment WHERE text LIKE 'photos-%' AND sha256 <> ''",
    "charges": "SELECT note FROM pack_log WHERE note LIKE 'charges-%'",
}


def _wait_for(kept: Kept, count: int, writers: list[Writer]) -> None:
    """So that the end comes in the midst of writing on a slow machine too."""
    while kept.count < count and any(writer.is_alive() for writer in writers):
        time.sleep(0.001)


def _lost(garage: Path, kept: Kept) -> dict[str, set[str]]:
    found = {kind: {row[0] for row in query(garage, sql)} for kind, sql in _WHERE.items()}
    return {kind: set(getattr(kept, kind)) - marks for kind, marks in found.items() if set(getattr(kept, kind)) - marks}


def _half_written(garage: Path) -> dict[str, list[tuple]]:
    """Rows that only make sense together, and are not: each list is to be empty."""
    rules = {
        "a run without its pack": "SELECT id FROM run WHERE note LIKE 'runs-%' "
        "AND id NOT IN (SELECT run_id FROM run_pack)",
        "a run whose pack does not know of it": "SELECT run_id, pack_id FROM run_pack p WHERE NOT EXISTS "
        "(SELECT 1 FROM pack_log l WHERE l.run_id = p.run_id AND l.pack_id = p.pack_id)",
        "a discharge without its run": "SELECT id FROM pack_log WHERE run_id IS NOT NULL "
        "AND run_id NOT IN (SELECT id FROM run)",
        "two runs of one number": "SELECT outing_id, number FROM run GROUP BY 1, 2 HAVING count(*) > 1",
    }
    return {what: rows for what, sql in rules.items() if (rows := query(garage, sql))}


@pytest.mark.parametrize("rounds", [8, pytest.param(200, marks=pytest.mark.long)])
def test_nothing_acknowledged_is_lost_when_the_server_is_killed(garage: Path, rounds: int, begun: Nursery):
    chance, kept, swept = random.Random(rounds), Kept(), 0
    for number in range(rounds):
        server = begun.begin(garage).wait_ready()
        swept += server.said.count("Swept:")
        writers = [Writer(server.address, 1000 * number + place, garage, kept) for place in range(WRITERS)]
        for writer in writers:
            writer.start()
        _wait_for(kept, kept.count + chance.randrange(1, 25), writers)
        time.sleep(chance.uniform(0, 0.03))
        server.kill()
        for writer in writers:
            writer.join()
        assert [line for writer in writers for line in writer.refused] == []
        assert file_is_whole(garage)
    begun.begin(garage).wait_ready().kill()
    assert _lost(garage, kept) == {}
    assert _half_written(garage) == {}
    report = check(garage)
    assert report.is_good and report.notes == ()
    assert all(vars(kept).values()), "some kind was never written"
    assert kept.count > 8 * rounds, "too little was written for this to show anything"
    print(f"{rounds} kills, {kept.count} entries acknowledged, all found; {swept} files without an owner swept")


def test_a_file_without_an_owner_is_swept_at_the_next_start_and_named(garage: Path, begun: Nursery):
    stray = "ab" * 32
    place = garage / "files" / "ab"
    place.mkdir(exist_ok=True)
    (place / f"{stray}.jpg").write_bytes(b"a picture whose row was never written")
    (garage / "files" / "tmp1234.part").write_bytes(b"half a picture")
    server = begun.begin(garage).wait_ready()
    server.stop()
    assert f"Swept: files/ab/{stray}.jpg" in server.said and "tmp1234.part" in server.said
    assert not (place / f"{stray}.jpg").exists() and (garage / "swept" / f"{stray}.jpg").exists()
    assert not (garage / "files" / "tmp1234.part").exists()
    assert check(garage).is_good and check(garage).notes == ()


def test_a_second_server_on_one_folder_says_so_and_stops(garage: Path, begun: Nursery):
    first = begun.begin(garage).wait_ready()
    second = Server(garage)
    assert second.process.wait(PATIENCE_S) == 2
    assert "in use already (process" in second.said and "Traceback" not in second.said
    looking_on = begun.begin(garage, "--read-only").wait_ready()
    assert httpx.get(first.address + "/hulls").status_code == 200
    assert httpx.post(looking_on.address + "/hulls/new", data={"name": "x"}).status_code == 403
    assert "nothing can be written here" in httpx.get(looking_on.address + "/hulls").text
    assert httpx.post(first.address + "/attachments/quick", data={"attach_text": "kept"}).status_code == 303
    assert "kept" in httpx.get(looking_on.address + "/attachments/unsorted").text
    looking_on.stop()
    first.kill()
    third = begun.begin(garage).wait_ready()
    third.stop()


def test_the_daily_backup_is_made_beside_the_serving(garage: Path, begun: Nursery):
    server = begun.begin(garage).wait_ready()
    deadline = time.monotonic() + PATIENCE_S
    while not list(garage.glob("backups/garage-daily-*.zip")) and time.monotonic() < deadline:
        time.sleep(0.05)
    server.stop()
    assert len(list(garage.glob("backups/garage-daily-*.zip"))) == 1
