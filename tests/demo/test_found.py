"""The demo's hulls are judged once, as of their own last closed outing, and one decision is kept."""

from sqlmodel import col, select

from garage.findings.tables import Finding, FindingDecision, FindingResult
from garage.runs.tables import Run
from garage.waters.tables import Outing


def test_each_question_is_answered_once_at_the_last_closed_outing_of_its_hull(demo_session):
    results = list(demo_session.exec(select(FindingResult)))
    assert len(results) == len({row.finding_id for row in results}) > 5
    for row in results:
        hull_id = demo_session.get(Finding, row.finding_id).hull_id
        days = demo_session.exec(
            select(Outing.started_at)
            .join(Run, col(Run.outing_id) == col(Outing.id))
            .where(Run.hull_id == hull_id, col(Outing.closed_at).is_not(None))
        )
        assert demo_session.get(Outing, row.outing_id).started_at == max(days)


def test_nothing_is_called_confirmed_that_was_judged_only_once(demo_session):
    assert not any(row.confirmed for row in demo_session.exec(select(FindingResult)))


def test_the_decision_of_the_story_stands_with_its_figures(demo_session):
    (kept,) = demo_session.exec(select(FindingDecision))
    assert kept.kind == "leave on" and kept.verdict and "%" in kept.numbers
