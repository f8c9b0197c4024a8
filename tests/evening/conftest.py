"""A small garage with two runs in one outing, and its evening."""

import pytest

from garage.db.engine import reading, writing
from garage.moments import Moment
from tests.runs.conftest import make_world


@pytest.fixture
def ids(app):
    with writing(app.state.engine) as session:
        world = make_world(session)
        runs = [world.run(pack, started=Moment(f"2026-05-09T{10 + n}:00:00Z", 0)).id for n, pack in enumerate("JK")]
        ids = {"medlar": world.medlar, "outing": world.outing, "edition": world.edition, "runs": runs}
        return ids | world.packs


@pytest.fixture
def look(app):
    with reading(app.state.engine) as session:
        yield session
