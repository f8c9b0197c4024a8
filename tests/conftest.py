"""What every test may use: a garage of its own in an empty folder, a client on it, and a clock that stands still."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import httpx
import pytest
from hypothesis import HealthCheck, settings
from starlette.testclient import TestClient

from garage.app import create_app
from garage.db.engine import writing
from garage.settings import Settings

settings.register_profile(
    "fixed", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow], max_examples=60
)
settings.load_profile("fixed")

NOW = datetime(2026, 5, 9, 14, 30, tzinfo=UTC)


@pytest.fixture
def app(tmp_path: Path):
    """An app on an empty garage; its clock stands at 9 May 2026, 14:30 UTC."""
    return create_app(replace(Settings(tmp_path / "garage"), hosts=("testserver",), clock=lambda: NOW))


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
