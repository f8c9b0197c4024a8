"""Speeds that a log contradicts itself in: which runs have one, and which of them is news."""

import json

import pytest
from sqlmodel import select, text

from garage.logs.tables import LogFile
from garage.runs import denied_store
from garage.runs.lines.line import run_lines
from garage.runs.tables import DeniedSpeed, Run
from tests.runs.conftest import MORNING


@pytest.fixture
def log_id(world) -> int:
    """A log of any run."""
    row = LogFile(sha256="0" * 64, name="a.csv", kind="table", size_bytes=1, course_m=100.0, created_at=MORNING.utc)
    world.session.add(row)
    world.session.flush()
    return row.id


def _denied(session) -> dict[int, bool]:
    by_column = set(session.exec(select(Run.id).where(denied_store.is_denied())))
    by_words = {row[0] for row in session.execute(text(f"SELECT id FROM run WHERE {denied_store.DENIED_SQL}"))}
    assert by_column == by_words
    return by_column


@pytest.mark.parametrize(
    ("written", "is_denied"),
    [(82.0, True), (82.05, True), (81.95, True), (82.07, False), (81.93, False), (None, False)],
)
def test_a_figure_typed_from_a_page_of_tenths_is_still_the_same(world, log_id, written, is_denied):
    run = world.run("J", speed_kmh=written)
    denied_store.keep_denied(world.session, run.id, log_id, [82.0], 82.0, 61.5)
    assert _denied(world.session) == ({run.id} if is_denied else set())
    assert world.session.exec(select(DeniedSpeed)).one().is_news == is_denied
    assert [found.id for _, found in denied_store.news(world.session, 9)] == ([run.id] if is_denied else [])
    said = world.session.exec(select(denied_store.witnesses()).select_from(Run).where(Run.id == run.id)).one()
    assert (json.loads(said) if said else None) == ([82.0, 61.5] if is_denied else None)
    assert ("its log contradicts itself" in run_lines(world.session, [run])[0].flags) == is_denied


def test_a_figure_is_kept_once_and_goes_when_its_places_deny_it_no_more(world, log_id):
    session, run = world.session, world.run("J", speed_kmh=82.0)
    for speeds in ([82.001, 71.0], [82.0, 71.004, 60.0]):
        denied_store.keep_denied(session, run.id, log_id, speeds, 82.0, None)
    kept = session.exec(select(DeniedSpeed).order_by(DeniedSpeed.speed_kmh)).all()
    assert [(one.speed_kmh, one.is_news) for one in kept] == [(60.0, False), (71.0, False), (82.0, True)]
    denied_store.drop_denied(session, run.id, log_id, [82.05, 60.07])
    assert sorted(session.exec(select(DeniedSpeed.speed_kmh))) == [60.0, 71.0] and _denied(session) == set()
    denied_store.drop_denied(session, run.id, log_id + 1, [60.0])
    denied_store.drop_denied(session, run.id + 1, log_id, [60.0])
    assert len(session.exec(select(DeniedSpeed)).all()) == 2


def test_news_is_of_runs_that_count_the_latest_first_until_it_was_told(world, log_id):
    session = world.session
    runs = [world.run(pack, speed_kmh=80.0) for pack in "JKL"]
    for run in runs:
        denied_store.keep_denied(session, run.id, log_id, [80.0], None, 70.0)
    runs[2].set_aside_at = MORNING.utc
    session.flush()
    assert [run.id for _, run in denied_store.news(session, 9)] == [runs[1].id, runs[0].id]
    assert [run.id for _, run in denied_store.news(session, 1)] == [runs[1].id]
    denied_store.notice(session, runs[1].id)
    assert [run.id for _, run in denied_store.news(session, 9)] == [runs[0].id]
    # It counts for nothing all the same.
    assert runs[1].id in _denied(session)
