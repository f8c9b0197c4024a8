"""A real server on loopback, and a real Chromium in front of it."""

import socket
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Browser, Page, expect

from garage.settings import local_now
from garage.web.screen import COOKIE as SCREEN_COOKIE
from tests.durability.served import PATIENCE_S

AXE = next((Path(__file__).parent.parent / "vendor").glob("axe-core@*/axe.min.js"))
PHONE = {"width": 390, "height": 844}
DESK = {"width": 1280, "height": 900}
# A busy machine may take its time for anything: nothing here is told by how long it took.
expect.set_options(timeout=PATIENCE_S * 1000)


@pytest.fixture
def served(make_app: Callable) -> Iterator[Callable[[Path], str]]:
    """Serve the garage in a folder, at the real time of day; gives its address."""
    running: list[tuple[uvicorn.Server, threading.Thread]] = []

    def serve(folder: Path) -> str:
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            port = probe.getsockname()[1]
        app = make_app(folder, hosts=("127.0.0.1",), port=port, clock=local_now)
        server = uvicorn.Server(uvicorn.Config(app, host="127.0.0.1", port=port, log_level="warning"))
        thread = threading.Thread(target=server.run, daemon=True)
        thread.start()
        running.append((server, thread))
        deadline = time.monotonic() + PATIENCE_S
        while not server.started:
            assert time.monotonic() < deadline, "the server did not come up"
            time.sleep(0.01)
        return f"http://127.0.0.1:{port}"

    yield serve
    for server, thread in running:
        server.should_exit = True
        thread.join(10)


@pytest.fixture
def open_page(browser: Browser) -> Iterator[Callable[..., Page]]:
    """Open a page at phone or desk width, with JavaScript or without, with what was chosen for this `screen`, and with
    other settings of the browser. A script error or a refusal fails the test."""
    contexts = []
    troubles: list[str] = []

    def open_(address: str, *, size: dict = DESK, javascript: bool = True, screen: str = "", **settings) -> Page:
        context = browser.new_context(
            viewport=size, java_script_enabled=javascript, base_url=address, bypass_csp=False, **settings
        )
        if screen:
            context.add_cookies([{"name": SCREEN_COOKIE, "value": screen, "url": address}])
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(PATIENCE_S * 1000)
        page.on("pageerror", lambda error: troubles.append(f"script error: {error}"))
        page.on("console", lambda said: troubles.append(said.text) if "Content Security Policy" in said.text else None)
        page.on("response", lambda got: troubles.append(f"{got.status} {got.url}") if got.status >= 500 else None)
        page.goto(address)
        return page

    yield open_
    for context in contexts:
        context.close()
    assert troubles == []


def serious_faults(page: Page, *, also_contrast: bool = True) -> list[str]:
    """What axe calls moderate, serious or critical on this page, with the first element at fault. Contrast takes axe
    nearly half of its time; a page that `reading.js` looks at has it measured there, and more strictly."""
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(AXE.read_text())
    found = page.evaluate(
        "async (rules) => (await axe.run(document, {resultTypes: ['violations'], rules})).violations",
        {"color-contrast": {"enabled": also_contrast}},
    )
    return [
        f"{page.url} {fault['id']}: {fault['help']}: {fault['nodes'][0]['html'][:200]}"
        for fault in found
        if fault["impact"] != "minor"
    ]
