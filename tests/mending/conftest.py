"""The demo, to put things right in: the same again for every test."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from tests.demo.conftest import renewing
from tests.mending.hands import Hands


@pytest.fixture(scope="module")
def _renewed(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[[], TestClient]]:
    with renewing(demo_folder, tmp_path_factory.mktemp("mended") / "garage") as renewed:
        yield renewed


@pytest.fixture
def hands(_renewed: Callable[[], TestClient]) -> Hands:
    """Hands on the demo as it was before anything was put right in it."""
    return Hands(_renewed())
