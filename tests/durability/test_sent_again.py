"""A form on a bad line, against a real server: sent again and again, at once and later, it writes once."""

import re
import socket
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, suppress
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import Browser

from garage.web.numbers import NUMBER_FIELD
from tests.durability.conftest import picture
from tests.durability.nursery import Nursery
from tests.durability.served import PATIENCE_S, query
from tests.forms import read_page

NEW_RUN = "/runs/new?hull=1&outing=1"
RUN = {"pack": "1", "pack_anyway": "yes", "speed": "72.5", "note": "sent on a bad line"}
SHEET = b"Date;Boat;Place;Top speed (km/h)\n2026-04-03;Medlar;Hollow Mere;61\n"
# What is sent: the page of its form, where it goes, what is typed, its files, the table that grows.
SENDINGS = {
    "a run": (NEW_RUN, NEW_RUN, RUN, None, "run"),
    "a note": ("/attachments/outing/1", "/attachments/outing/1", {"attach_text": "a heron"}, None, "attachment"),
    "an attachment": (
        "/attachments/outing/1", "/attachments/outing/1", {"attach_text": "the mere"},
        {"attach_files": ("mere.png", picture(7), "image/png")}, "attachment",
    ),
    "an import": ("/import", "/import", {}, {"sheet": ("past.csv", SHEET, "text/csv")}, "past_import"),
}  # fmt: skip


def _filled(client: httpx.Client, page: str, address: str) -> dict[str, str]:
    """What stands in the form of `page` that goes to `address`, its number among it."""
    forms = read_page(client.get(page).text, address)[0]
    [data] = [form.data for form in forms if form.method == "post" and form.action == address]
    return data


@pytest.mark.parametrize("what", SENDINGS)
def test_five_equal_posts_at_once_and_one_later_write_once(garage: Path, begun: Nursery, what: str):
    page, address, typed, files, table = SENDINGS[what]
    [[before]] = query(garage, f"SELECT count(*) FROM {table}")
    server = begun.begin(garage).wait_ready()
    with httpx.Client(base_url=server.address, timeout=PATIENCE_S) as client:
        data = _filled(client, page, address) | typed
        assert re.fullmatch("[0-9a-f]{32}", data[NUMBER_FIELD])

        def post(_turn: int) -> httpx.Response:
            return httpx.post(server.address + address, data=data, files=files, timeout=PATIENCE_S)

        with ThreadPoolExecutor(5) as crowd:
            answers = list(crowd.map(post, range(5)))
        answers.append(post(5))
        assert {(answer.status_code, answer.headers["location"]) for answer in answers} == {
            (303, answers[0].headers["location"])
        }, [answer.text[:300] for answer in answers]
        shown = client.get(answers[0].headers["location"], headers={"cookie": answers[-1].headers["set-cookie"]})
        assert shown.status_code == 200 and "Was written already" in shown.text
    server.stop()
    assert query(garage, f"SELECT count(*) FROM {table}") == [(before + 1,)]


class BadLine:
    """Passes all on to `port`; of a post to `path` it keeps the answer back, `times` over, and closes the line."""

    def __init__(self, port: int, path: str, times: int) -> None:
        self._port, self._mark, self._left = port, f"POST {path}".encode(), times
        self.posts = 0
        self._listens = socket.create_server(("127.0.0.1", 0))
        self.port = self._listens.getsockname()[1]
        threading.Thread(target=self._accept, daemon=True).start()

    def _accept(self) -> None:
        while True:
            try:
                near, _ = self._listens.accept()
            except OSError:
                return
            threading.Thread(target=self._serve, args=(near,), daemon=True).start()

    def _serve(self, near: socket.socket) -> None:
        with near, socket.create_connection(("127.0.0.1", self._port)) as far:
            drops = threading.Event()
            threading.Thread(target=self._back, args=(far, near, drops), daemon=True).start()
            try:
                while data := near.recv(65536):
                    if data.startswith(self._mark):
                        self.posts += 1
                        if self._left > 0:
                            self._left -= 1
                            drops.set()
                    far.sendall(data)
            except OSError:
                pass

    def _back(self, far: socket.socket, near: socket.socket, drops: threading.Event) -> None:
        try:
            while data := far.recv(65536):
                if drops.is_set():
                    break
                near.sendall(data)
        except OSError:
            pass
        finally:
            for end in (near, far):
                with suppress(OSError):
                    end.shutdown(socket.SHUT_RDWR)

    def close(self) -> None:
        """Take no further lines."""
        self._listens.close()


@contextmanager
def bad_line(port: int, path: str, times: int) -> Iterator[BadLine]:
    """A bad line to the server at `port` for the length of a test."""
    line = BadLine(port, path, times)
    try:
        yield line
    finally:
        line.close()


def _write_a_run(browser: Browser, address: str, note: str) -> str:
    """Write a run as a person does; what the page says where the browser ends up."""
    context = browser.new_context(base_url=address)
    page = context.new_page()
    page.set_default_timeout(PATIENCE_S * 1000)
    page.goto(NEW_RUN)
    page.locator("#run-form details").evaluate_all("all => all.forEach(each => { each.open = true; })")
    page.fill("#run-form [name=pack_code_1]", "J")
    page.fill("#run-form [name=speed]", "72.5")
    page.fill("#run-form [name=note]", note)
    page.click("#run-form button.thumbed", no_wait_after=True)
    page.wait_for_url(re.compile(r"/runs/\d+$"))
    said = page.locator(".notice").inner_text()
    context.close()
    return said


@pytest.mark.browser
@pytest.mark.parametrize("times", [1, pytest.param(10, marks=pytest.mark.long)])
def test_a_browser_whose_answer_was_dropped_writes_one_run_each_time(
    garage: Path, begun: Nursery, browser: Browser, times: int
):
    server = begun.begin(garage).wait_ready()
    [[before]] = query(garage, "SELECT count(*) FROM run")
    for turn in range(times):
        with bad_line(server.port, "/runs/new", times=1) as line:
            said = _write_a_run(browser, f"http://127.0.0.1:{line.port}", f"outing {turn}")
            assert line.posts == 2, "the browser did not send it again, so this showed nothing"
        assert "Was written already" in said
        assert query(garage, "SELECT count(*) FROM run") == [(before + turn + 1,)]
    server.stop()
