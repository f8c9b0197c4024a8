"""What every test may use: a garage of its own in an empty folder, a client on it, and a clock that stands still."""

import gc
import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import httpx
import pytest
from hypothesis import HealthCheck, settings
from playwright.sync_api import Browser, sync_playwright
from sqlalchemy import Engine, create_engine
from sqlmodel import Session
from starlette.testclient import TestClient

from garage.app import create_app
from garage.db import engine as engines
from garage.db.engine import open_engine, reading, writing
from garage.db.migrate import bring_up_to_date
from garage.demo.first_start import make_demo_garage
from garage.paths import DATABASE_NAME
from garage.schema import REFILL, TRIGGERS
from garage.settings import Settings
from tests.busy import is_timed

settings.register_profile(
    "fixed", derandomize=True, deadline=None, suppress_health_check=list(HealthCheck), max_examples=60
)
settings.load_profile("fixed")

NOW = datetime(2026, 5, 9, 14, 30, tzinfo=UTC)
# Thousands of garages are opened, each with an engine of its own, and all are asked the same: what a statement was
# compiled to is kept with the dialect, so they share one. It knows its database once it was connected to it.
_COMPILING = create_engine("sqlite://")
_COMPILING.connect().close()


def _engine(*arguments, **options) -> Engine:
    made = create_engine(*arguments, **options)
    made.dialect = made.pool._dialect = _COMPILING.dialect
    made._compiled_cache = _COMPILING._compiled_cache
    return made


engines.create_engine = _engine
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")


@pytest.fixture(scope="session")
def once(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str, Callable[[Path], object]], Path]:
    """Have a file made by the first process that wants it; those that share the tests with it take the same."""
    own = tmp_path_factory.getbasetemp()
    shared = own.parent if "PYTEST_XDIST_WORKER" in os.environ else own

    def made(name: str, make: Callable[[Path], object]) -> Path:
        path = shared / name
        with closing(sqlite3.connect(shared / f"{name}.lock", timeout=600, isolation_level=None)) as lock:
            lock.execute("BEGIN EXCLUSIVE")
            if not path.exists():
                make(shared / f"{name}.part")
                (shared / f"{name}.part").rename(path)
        return path

    return made


@pytest.fixture(scope="session")
def empty_file(once: Callable) -> Path:
    """A garage file as the migrations make it, with nothing in it; made once and copied."""

    def make(path: Path) -> None:
        engine = open_engine(path)
        bring_up_to_date(engine, path, TRIGGERS, REFILL)
        engine.dispose()
        with sqlite3.connect(path) as connection:
            connection.execute("PRAGMA journal_mode = DELETE")

    return once("empty.sqlite", make)


@pytest.fixture(scope="session")
def demo_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo with its dates as they are stored; unpacked once and copied, not to be written to."""
    folder = tmp_path_factory.mktemp("demo") / "garage"
    assert make_demo_garage(folder, None) is True
    return folder


@pytest.fixture(scope="module")
def rows(demo_folder: Path) -> Iterator[Callable[..., list[sqlite3.Row]]]:
    """Any query on the demo's file, as a list of rows by name; its values in order or by name."""
    with closing(sqlite3.connect(f"file:{demo_folder / DATABASE_NAME}?mode=ro", uri=True)) as file:
        file.row_factory = sqlite3.Row
        yield lambda sql, *values, **named: file.execute(sql, named or values).fetchall()


@pytest.fixture(scope="module")
def demo_session(demo_folder: Path) -> Iterator[Session]:
    """A session that reads the demo."""
    engine = open_engine(demo_folder / DATABASE_NAME)
    with reading(engine) as session:
        yield session
    engine.dispose()


@pytest.fixture(scope="session")
def make_app(empty_file: Path) -> Callable:
    """Make an app on `folder`, empty unless a garage is there; its clock stands at 9 May 2026, 14:30 UTC.

    It does not wait for the disk: what a power cut takes is asked of real servers and of engines of their own.
    """
    pragmas = [pragma.replace("synchronous = FULL", "synchronous = OFF") for pragma in engines._WRITING_PRAGMAS]

    def make(folder: Path, **changes):
        folder.mkdir(parents=True, exist_ok=True)
        if not (folder / DATABASE_NAME).exists():
            shutil.copy(empty_file, folder / DATABASE_NAME)
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(engines, "_WRITING_PRAGMAS", pragmas)
            # A program freezes what it has at its start; tests make thousands of apps, and would keep them all.
            patch.setattr(gc, "freeze", lambda: None)
            return create_app(Settings(folder, **({"hosts": ("testserver",), "clock": lambda: NOW} | changes)))

    return make


@pytest.fixture
def app(make_app: Callable, tmp_path: Path):
    """An app on an empty garage."""
    return make_app(tmp_path / "garage")


@pytest.fixture
def client(app) -> Iterator[httpx.Client]:
    """A client that follows redirects and never hides an error behind a page."""
    with TestClient(app, follow_redirects=True) as client:
        yield client


@pytest.fixture
def session(app):
    """A session that writes to the app's file; kept when the test ends."""
    with writing(app.state.engine) as session:
        yield session


@pytest.fixture(scope="session")
def chromium() -> str:
    """Where Chromium is. Without it a journey is not run, except where that would hide a fault: in CI."""
    if CHROMIUM is None:
        if os.environ.get("CI"):
            pytest.fail("no Chromium on this machine, and CI must run the browser journeys")
        pytest.skip("no Chromium found: this browser journey was not run")
    return CHROMIUM


_BROWSER_FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def browser(chromium: str) -> Iterator[Browser]:
    """One Chromium for all browser tests of this process: a second one of its kind would not start beside it."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=_BROWSER_FLAGS)
        yield browser
        browser.close()


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what is prone to timing, before anything is chosen by its marks."""
    for item in items:
        if is_timed(item.path):
            item.add_marker("busy")


_left_to_the_other_set = 0


def pytest_deselected(items: list) -> None:
    """Count what is left to the other set."""
    global _left_to_the_other_set
    _left_to_the_other_set += len(items)


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Where several processes share the tests, each tells the first how many it left out: the same ones."""
    if hasattr(session.config, "workeroutput"):
        session.config.workeroutput["left_out"] = _left_to_the_other_set


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node) -> None:
    """What one of several processes left out."""
    global _left_to_the_other_set
    _left_to_the_other_set = max(_left_to_the_other_set, getattr(node, "workeroutput", {}).get("left_out", 0))


def pytest_terminal_summary(terminalreporter, config: pytest.Config) -> None:
    """Say in words how many cases ran, and how many did not and why."""
    stats = terminalreporter.stats
    skipped = stats.get("skipped", [])
    ran = sum(len(stats.get(outcome, [])) for outcome in ("passed", "failed", "xfailed", "xpassed"))
    name = "long" if config.getoption("markexpr") == "long" else "usual"
    terminalreporter.write_line(
        f"Of the {name} set {ran} cases ran, {len(skipped)} were not run here (the reasons stand above); "
        f"{_left_to_the_other_set} were left to the other set."
    )
    left_out = [report for report in skipped if "no Chromium found" in str(report.longrepr)]
    if left_out:
        terminalreporter.write_line(f"Browser journeys not run, since no Chromium was found: {len(left_out)}.")
