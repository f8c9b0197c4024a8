"""The demo garage, read as it is or served from a copy."""

import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from garage.app import create_app
from garage.paths import DATABASE_NAME
from garage.settings import Settings

REFERENCE = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)


@pytest.fixture(scope="session")
def demo_client(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """A client on a copy of the demo, at the demo's reference date; faults come as pages, as in real life."""
    folder = tmp_path_factory.mktemp("copy") / "garage"
    shutil.copytree(demo_folder, folder)
    with client_on(folder) as client:
        yield client


@contextmanager
def client_on(folder: Path) -> Iterator[TestClient]:
    """A client on the garage in a folder, at the demo's reference date."""
    app = create_app(Settings(folder, hosts=("testserver",), clock=lambda: REFERENCE))
    here = ("127.0.0.1", 50000)
    with TestClient(app, follow_redirects=False, raise_server_exceptions=False, client=here) as client:
        yield client
    app.state.engine.dispose()


@contextmanager
def renewing(demo_folder: Path, folder: Path) -> Iterator[Callable[[], TestClient]]:
    """A client on a copy of the demo in `folder`, which is the demo again at each call."""
    shutil.copytree(demo_folder, folder)
    with client_on(folder) as client:

        def renewed() -> TestClient:
            client.app.state.engine.dispose()
            with sqlite3.connect(demo_folder / DATABASE_NAME) as kept, sqlite3.connect(folder / DATABASE_NAME) as used:
                kept.backup(used)
            return client

        yield renewed
