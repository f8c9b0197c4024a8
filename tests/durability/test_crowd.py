"""Twenty clients writing and reading at once on loopback: no error, no lost write, however long answers take."""

import threading
from pathlib import Path

import httpx
import pytest

from garage.archive.check import check
from tests.durability.nursery import Nursery
from tests.durability.served import file_is_whole, query

CLIENTS = 20
READ = ("/", "/hulls/1", "/records", "/outings/1", "/runs/new", "/packs.json", "/search?q=mark")


class _Client(threading.Thread):
    def __init__(self, address: str, number: int, turns: int) -> None:
        super().__init__(daemon=True)
        self._address, self._number, self._turns = address, number, turns
        self.kept: list[str] = []
        self.faults: list[str] = []

    def run(self) -> None:
        with httpx.Client(base_url=self._address, timeout=None) as client:
            for turn in range(1, self._turns + 1):
                if turn % 3 == 0:
                    mark = f"mark {self._number} {turn}"
                    answer = client.post("/attachments/quick", data={"attach_text": mark})
                    if answer.status_code == 303:
                        self.kept.append(mark)
                else:
                    answer = client.get(READ[(turn + self._number) % len(READ)])
                if answer.status_code not in (200, 303):
                    self.faults.append(f"{answer.request.method} {answer.request.url}: {answer.status_code}")


@pytest.mark.parametrize("turns", [9, pytest.param(180, marks=pytest.mark.long)])
def test_twenty_at_once_meet_no_error_and_lose_no_write(garage: Path, turns: int, begun: Nursery):
    server = begun.begin(garage).wait_ready()
    clients = [_Client(server.address, number, turns) for number in range(CLIENTS)]
    for client in clients:
        client.start()
    for client in clients:
        client.join()
    server.stop()
    assert [fault for client in clients for fault in client.faults] == []
    kept = [mark for client in clients for mark in client.kept]
    there = [row[0] for row in query(garage, "SELECT text FROM attachment WHERE text LIKE 'mark %'")]
    assert sorted(there) == sorted(kept) and len(kept) == CLIENTS * (turns // 3)
    assert file_is_whole(garage) and check(garage).is_good
    print(f"{CLIENTS} clients: {CLIENTS * turns} requests, {len(kept)} writes")
