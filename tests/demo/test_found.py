"""The demo's hulls are judged once, as of their own last closed outing, and one decision is kept."""

import pytest
from sqlmodel import col, select

from garage.db.engine import open_engine, reading
from garage.demo.build import make_demo_garage
from garage.findings.tables import Finding, FindingDecision, FindingResult
from garage.paths import DATABASE_NAME
from garage.runs.tables import Run
from garage.waters.tables import Outing


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    folder = tmp_path_factory.mktemp("found") / "demo"
    make_demo_garage(folder)
    engine = open_engine(folder / DATABASE_NAME)
    with reading(engine) as session:
        yield session
    engine.dispose()


def test_each_question_is_answered_once_at_the_last_closed_outing_of_its_hull(demo):
    results = list(demo.exec(select(FindingResult)))
    assert len(results) == len({row.finding_id for row in results}) > 5
    for row in results:
        hull_id = demo.get(Finding, row.finding_id).hull_id
        days = demo.exec(
            select(Outing.started_at)
            .join(Run, col(Run.outing_id) == col(Outing.id))
            .where(Run.hull_id == hull_id, col(Outing.closed_at).is_not(None))
        )
        assert demo.get(Outing, row.outing_id).started_at == max(days)


def test_nothing_is_called_confirmed_that_was_judged_only_once(demo):
    assert not any(row.confirmed for row in demo.exec(select(FindingResult)))


def test_the_decision_of_the_story_stands_with_its_figures(demo):
    (kept,) = demo.exec(select(FindingDecision))
    assert kept.kind == "leave on" and kept.verdict and "%" in kept.numbers
