"""Twenty clients writing and reading at once on loopback: no error, no lost write; how long answers take."""

import statistics
import threading
import time
from pathlib import Path

import httpx
import pytest

from garage.archive.check import check
from tests.durability.nursery import Nursery
from tests.durability.served import file_is_whole, query

CLIENTS = 20
READ = ("/", "/hulls/1", "/records", "/outings/1", "/runs/new", "/packs.json", "/search?q=mark")


class _Client(threading.Thread):
    def __init__(self, address: str, number: int, ends: float) -> None:
        super().__init__(daemon=True)
        self._address, self._number, self._ends = address, number, ends
        self.kept: list[str] = []
        self.faults: list[str] = []
        self.seconds: list[float] = []

    def run(self) -> None:
        with httpx.Client(base_url=self._address, timeout=60) as client:
            turn = 0
            while time.monotonic() < self._ends:
                turn += 1
                began = time.monotonic()
                if turn % 3 == 0:
                    mark = f"mark {self._number} {turn}"
                    answer = client.post("/attachments/quick", data={"attach_text": mark})
                    if answer.status_code == 303:
                        self.kept.append(mark)
                else:
                    answer = client.get(READ[(turn + self._number) % len(READ)])
                self.seconds.append(time.monotonic() - began)
                if answer.status_code not in (200, 303):
                    self.faults.append(f"{answer.request.method} {answer.request.url}: {answer.status_code}")


@pytest.mark.parametrize("seconds", [4, pytest.param(60, marks=pytest.mark.long)])
def test_twenty_at_once_meet_no_error_and_lose_no_write(garage: Path, seconds: int, begun: Nursery):
    server = begun.begin(garage).wait_ready()
    ends = time.monotonic() + seconds
    clients = [_Client(server.address, number, ends) for number in range(CLIENTS)]
    for client in clients:
        client.start()
    for client in clients:
        client.join()
    server.stop()
    assert [fault for client in clients for fault in client.faults] == []
    kept = [mark for client in clients for mark in client.kept]
    there = [row[0] for row in query(garage, "SELECT text FROM attachment WHERE text LIKE 'mark %'")]
    assert sorted(there) == sorted(kept) and len(kept) >= CLIENTS
    assert file_is_whole(garage) and check(garage).is_good
    taken = [second for client in clients for second in client.seconds]
    p95 = statistics.quantiles(taken, n=20)[-1]
    print(f"{CLIENTS} clients for {seconds} s: {len(taken)} requests, {len(kept)} writes, p95 {p95 * 1000:.0f} ms")
