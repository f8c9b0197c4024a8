"""The demo, to put things right in: the same again for every test."""

import shutil
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from garage.paths import DATABASE_NAME
from tests.demo.conftest import client_on
from tests.mending.hands import Hands


@pytest.fixture(scope="module")
def _renewed(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[[], TestClient]]:
    folder = tmp_path_factory.mktemp("mended") / "garage"
    shutil.copytree(demo_folder, folder)
    with client_on(folder) as client:

        def renewed() -> TestClient:
            client.app.state.engine.dispose()
            with sqlite3.connect(demo_folder / DATABASE_NAME) as kept, sqlite3.connect(folder / DATABASE_NAME) as used:
                kept.backup(used)
            return client

        yield renewed


@pytest.fixture
def hands(_renewed: Callable[[], TestClient]) -> Hands:
    """Hands on the demo as it was before anything was put right in it."""
    return Hands(_renewed())
