"""Queries and writes of questions, results, decisions, choices of runs, assumptions and planned runs."""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ScalarSelect
from sqlalchemy.orm import aliased
from sqlalchemy.sql.elements import ColumnElement
from sqlmodel import Session, col, func, select
from sqlmodel.sql.expression import Select, SelectOfScalar

from garage.calc.effect.priors import DEFAULT_PRIORS, Priors, with_changes
from garage.calc.effect.verdict import SETTLED
from garage.db.in_ids import in_
from garage.db.many import add_many
from garage.errors import Conflict, NotFound
from garage.findings.tables import Finding, FindingDecision, FindingResult, PlannedRun, PriorChoice, RunChoice
from garage.hulls.tables import Hull
from garage.moments import Moment

MOST_OF_A_HULL = 60
_LATEST = col(Finding.id).desc()
# So many of the last answers are looked through for questions that are open.
_MOST_LOOKED_THROUGH = 200
# Kept beside the assumptions: no name of one.
_READINGS = "by readings of packs"


def finding(session: Session, finding_id: int) -> Finding:
    """One question. Raises NotFound."""
    found = session.get(Finding, finding_id)
    if found is None:
        raise NotFound("There is no such finding in this notebook.")
    return found


def asked_about(session: Session, hull_id: int, about: str, subject: str) -> Finding | None:
    """The question about this thing, if it was asked."""
    same = select(Finding).where(Finding.hull_id == hull_id, Finding.about == about, Finding.subject == subject)
    return session.exec(same).first()


def ask(session: Session, hull_id: int, about: str, subject: str, at: Moment) -> Finding:
    """The question about this thing, written down if it is new."""
    kept = asked_about(session, hull_id, about, subject)
    if kept is None:
        kept = Finding(hull_id=hull_id, about=about, subject=subject, created_at=at.utc)
        session.add(kept)
        session.flush()
    return kept


@dataclass(frozen=True)
class ToJudge:
    """A question with the runs that the person put in or out of it, the verdict of its last answer and the outing that
    was for, and its answer for the outing that is judged now, if it has one."""

    asked: Finding
    choices: Mapping[int, bool]
    last_verdict: str
    last_outing_id: int | None
    answer: FindingResult | None


@dataclass(frozen=True)
class Judging:
    """The questions about some hulls, by hull the latest first; and the highest number of an answer there is."""

    questions: dict[int, list[ToJudge]]
    last_id: int | None


def to_judge(session: Session, modifications: Mapping[int, Sequence[str]], outing_id: int, at: Moment) -> Judging:
    """The questions about some hulls that are to be judged for an outing, those about their `modifications` (by hull)
    written down if they are new."""
    known: dict[int, list[ToJudge]] = {hull_id: [] for hull_id in modifications}
    same, rank = aliased(FindingResult), func.row_number().over(partition_by=col(Finding.hull_id), order_by=_LATEST)
    columns: list[Any] = [rank, _last_answer(), _choices(), _last_id(Finding), _last_id(FindingResult)]
    rows = session.execute(
        select(Finding, same)
        .add_columns(*columns)
        .outerjoin(same, (col(same.finding_id) == Finding.id) & (col(same.outing_id) == outing_id))
        .where(in_(Finding.hull_id, known))
        .order_by(_LATEST)
    ).all()
    asked = {(row[0].hull_id, row[0].subject) for row in rows if row[0].about == "change"}
    new = [
        Finding(hull_id=hull_id, about="change", subject=subject, created_at=at.utc)
        for hull_id, subjects in modifications.items()
        for subject in subjects
        if (hull_id, subject) not in asked
    ]
    add_many(session, new, rows[0][-2] if rows else None)
    for one in reversed(new):
        known[one.hull_id].append(ToJudge(one, {}, "", None, None))
    for one, answer, place, last, chosen, *_ in rows:
        if place <= MOST_OF_A_HULL:
            verdict, last_outing_id = json.loads(last) if last else ("", None)
            choices = {run_id: bool(is_in) for run_id, is_in in json.loads(chosen)}
            known[one.hull_id].append(ToJudge(one, choices, verdict, last_outing_id, answer))
    return Judging({one: found[:MOST_OF_A_HULL] for one, found in known.items()}, rows[0][-1] if rows else None)


def _last_answer() -> ScalarSelect:
    """Verdict and outing of a question's last answer, as JSON; NULL without any."""
    answer = aliased(FindingResult)
    told = select(func.json_array(answer.verdict, answer.outing_id)).where(answer.finding_id == Finding.id)
    return told.order_by(col(answer.id).desc()).limit(1).correlate(Finding).scalar_subquery()


def _choices() -> ScalarSelect:
    """The runs put in or out of a question, as JSON."""
    told = func.json_group_array(func.json_array(RunChoice.run_id, RunChoice.is_in))
    return select(told).where(RunChoice.finding_id == Finding.id).correlate(Finding).scalar_subquery()


def _last_id(table: type[Finding] | type[FindingResult]) -> ScalarSelect:
    row = aliased(table)
    return select(func.coalesce(func.max(row.id), 0)).scalar_subquery()


def findings_of(session: Session, hull_id: int, *, limit: int = MOST_OF_A_HULL) -> list[Finding]:
    """The questions about a hull, latest first."""
    rows = select(Finding).where(Finding.hull_id == hull_id).order_by(col(Finding.id).desc()).limit(limit)
    return list(session.exec(rows))


def findings(session: Session, *, limit: int, offset: int = 0) -> list[Finding]:
    """All questions, latest first."""
    return list(session.exec(select(Finding).order_by(col(Finding.id).desc()).limit(limit).offset(offset)))


def latest_results(session: Session, finding_ids: Iterable[int]) -> dict[int, FindingResult]:
    """The last stored answer of some questions, by question."""
    latest = (
        select(func.max(FindingResult.id))
        .where(col(FindingResult.finding_id).in_(list(finding_ids)))
        .group_by(col(FindingResult.finding_id))
    )
    rows = session.exec(select(FindingResult).where(col(FindingResult.id).in_(latest)))
    return {row.finding_id: row for row in rows}


def results_of(session: Session, finding_id: int, *, limit: int = 20) -> list[FindingResult]:
    """The stored answers of a question, latest first."""
    rows = select(FindingResult).where(FindingResult.finding_id == finding_id)
    return list(session.exec(rows.order_by(col(FindingResult.id).desc()).limit(limit)))


def keep_results(
    session: Session, results: Sequence[FindingResult], instead_of: Sequence[FindingResult], last_id: int | None
) -> None:
    """Store answers in place of those for the same outing, as when it is closed a second time. `last_id` is the highest
    number of an answer, if it was read."""
    for row in instead_of:
        session.delete(row)
    session.flush()
    add_many(session, results, last_id)


def unnoticed_and_open(
    session: Session, *, changes: int, questions: int, settled: int = 0
) -> list[tuple[FindingResult, Finding, str, bool, bool, bool]]:
    """Answers whose verdict changed and was not looked at yet, those that leave their question open, and those that
    settle one that nobody decided, latest first: so many of each at most. With each row the name of the boat, and
    whether it is one of the first, of the second and of the third."""
    changed = select(FindingResult.id).where(
        col(FindingResult.noticed_at).is_(None),
        FindingResult.verdict_before != "",
        FindingResult.verdict_before != FindingResult.verdict,
    )
    is_changed = col(FindingResult.id).in_(changed.order_by(col(FindingResult.id).desc()).limit(changes))
    is_open = col(FindingResult.id).in_(_undecided(col(FindingResult.verdict).not_in(SETTLED), questions))
    is_settled = col(FindingResult.id).in_(_undecided(col(FindingResult.verdict).in_(SETTLED), settled))
    columns: list[Any] = [Hull.name, is_changed, is_open, is_settled]
    rows = (
        select(FindingResult, Finding)
        .add_columns(*columns)
        .join(Finding, col(Finding.id) == col(FindingResult.finding_id))
        .join(Hull, col(Hull.id) == col(Finding.hull_id))
        .where(is_changed | is_open | is_settled)
    )
    return [tuple(row) for row in session.execute(rows.order_by(col(FindingResult.id).desc()))]  # type: ignore[misc]


def _undecided(is_wanted: ColumnElement[bool], most: int) -> SelectOfScalar[int]:
    """The newest answers of a kind of verdict, of questions that nobody decided and boats in use; the last one of each
    question. Only the newest answers are looked through."""
    last = select(func.max(FindingResult.id)).group_by(col(FindingResult.finding_id))
    decided = select(FindingDecision.id).where(
        FindingDecision.finding_id == FindingResult.finding_id,
        col(FindingDecision.set_aside_at).is_(None),
        FindingDecision.kind != "test again",
    )
    rows = (
        select(FindingResult.id)
        .join(Finding, col(Finding.id) == col(FindingResult.finding_id))
        .join(Hull, col(Hull.id) == col(Finding.hull_id))
        .where(
            col(FindingResult.id).in_(last.order_by(func.max(FindingResult.id).desc()).limit(_MOST_LOOKED_THROUGH)),
            is_wanted,
            Hull.retired_on == "",
            ~decided.exists(),
        )
    )
    return rows.order_by(col(FindingResult.id).desc()).limit(most)


def mark_noticed(session: Session, finding_id: int, at: str) -> None:
    """The person has seen how the verdict changed."""
    rows = select(FindingResult).where(FindingResult.finding_id == finding_id, col(FindingResult.noticed_at).is_(None))
    for row in session.exec(rows):
        row.noticed_at = at
        session.add(row)


def run_choices(session: Session, finding_id: int) -> dict[int, bool]:
    """Runs that the person put in (True) or out of a question."""
    return run_choices_of(session, [finding_id]).get(finding_id, {})


def run_choices_of(session: Session, finding_ids: Iterable[int]) -> dict[int, dict[int, bool]]:
    """The same for some questions, by question; those without any are left out."""
    found: dict[int, dict[int, bool]] = {}
    for row in session.exec(select(RunChoice).where(in_(RunChoice.finding_id, finding_ids))):
        found.setdefault(row.finding_id, {})[row.run_id] = row.is_in
    return found


def choose_run(session: Session, finding_id: int, run_id: int, is_in: bool, at: str) -> None:
    """Put a run in or out of a question."""
    row = session.get(RunChoice, (finding_id, run_id)) or RunChoice(
        finding_id=finding_id, run_id=run_id, is_in=is_in, at=at
    )
    row.is_in, row.at = is_in, at
    session.add(row)


def keep_causes(session: Session, finding_id: int, numbers: Sequence[int]) -> Finding:
    """Keep which own fields may be causes as well. Raises NotFound."""
    kept = finding(session, finding_id)
    kept.own_causes = json.dumps(sorted(numbers))
    session.add(kept)
    return kept


def decide(session: Session, decision: FindingDecision) -> FindingDecision:
    """Keep a decision."""
    session.add(decision)
    session.flush()
    return decision


def decisions_of(session: Session, finding_ids: Iterable[int]) -> list[FindingDecision]:
    """The decisions about some questions that were not taken back, latest first."""
    rows = select(FindingDecision).where(
        col(FindingDecision.finding_id).in_(list(finding_ids)), col(FindingDecision.set_aside_at).is_(None)
    )
    return list(session.exec(rows.order_by(col(FindingDecision.at).desc(), col(FindingDecision.id).desc()).limit(100)))


def decisions_on_hull(
    session: Session, hull_id: int, also: Iterable[int], *, limit: int
) -> tuple[list[tuple[FindingDecision, Finding]], list[tuple[FindingDecision, Finding]]]:
    """The decisions about a hull that were not taken back, latest first, with the questions they answer; and some
    others by their ids."""
    in_order = (col(FindingDecision.at).desc(), col(FindingDecision.id).desc())
    of_hull = select(FindingDecision.id).join(Finding, col(Finding.id) == FindingDecision.finding_id)
    kept = of_hull.where(Finding.hull_id == hull_id, col(FindingDecision.set_aside_at).is_(None))
    is_latest = col(FindingDecision.id).in_(kept.order_by(*in_order).limit(limit))
    rows = session.exec(
        select(FindingDecision, Finding, is_latest)
        .join(Finding, col(Finding.id) == FindingDecision.finding_id)
        .where(is_latest | in_(FindingDecision.id, also))
        .order_by(*in_order)
    ).all()
    return [(row, asked) for row, asked, latest in rows if latest], [(row, asked) for row, asked, _ in rows]


def decisions_by_id(session: Session, ids: Iterable[int]) -> list[tuple[FindingDecision, Finding]]:
    """Some decisions with the questions they answer, in no order."""
    return list(session.exec(_with_question().where(in_(FindingDecision.id, ids))))


def _with_question() -> Select[FindingDecision, Finding]:
    return select(FindingDecision, Finding).join(Finding, col(Finding.id) == FindingDecision.finding_id)


def set_decision_aside(session: Session, finding_id: int, decision_id: int, at: str | None) -> None:
    """Take a decision back, or bring it back with None. Raises NotFound."""
    row = session.get(FindingDecision, decision_id)
    if row is None or row.finding_id != finding_id:
        raise NotFound("There is no such decision in this notebook.")
    row.set_aside_at = at
    session.add(row)


def assumptions(session: Session) -> tuple[Priors, bool]:
    """The assumptions, with those that the person changed, and whether resistance readings of packs are to say what
    is assumed of them."""
    kept = {row.name: (row.mean, row.sd) for row in session.exec(select(PriorChoice))}
    by_readings = kept.pop(_READINGS, None) is not None
    return with_changes(DEFAULT_PRIORS, kept), by_readings


def keep_priors(session: Session, chosen: Mapping[str, tuple[float, float]], by_readings: bool, at: str) -> None:
    """Keep these assumptions, every other one is as the program has it, and whether resistance readings of packs
    count. Raises Conflict in words."""
    try:
        with_changes(DEFAULT_PRIORS, chosen)
    except ValueError as error:
        raise Conflict(str(error)) from error
    for row in session.exec(select(PriorChoice)):
        session.delete(row)
    session.flush()
    session.add_all(PriorChoice(name=name, mean=mean, sd=sd, at=at) for name, (mean, sd) in chosen.items())
    if by_readings:
        session.add(PriorChoice(name=_READINGS, mean=1.0, sd=0.0, at=at))


def planned_runs(session: Session, finding_id: int) -> list[PlannedRun]:
    """The day planned for a question, in its order; empty where none is."""
    rows = select(PlannedRun).where(PlannedRun.finding_id == finding_id, col(PlannedRun.set_aside_at).is_(None))
    return list(session.exec(rows.order_by(col(PlannedRun.position))))


def plan_day(session: Session, finding_id: int, words: Sequence[str], widths: tuple[float, float], at: str) -> None:
    """Keep a plan in place of the one before."""
    drop_plan(session, finding_id, at)
    now, after = widths
    said: dict[str, Any] = {"finding_id": finding_id, "half_width_now": now, "half_width_after": after, "at": at}
    add_many(session, [PlannedRun(position=place, words=text, **said) for place, text in enumerate(words)])


def drop_plan(session: Session, finding_id: int, at: str | None) -> None:
    """Set the plan of a question aside."""
    for row in planned_runs(session, finding_id):
        row.set_aside_at = at
        session.add(row)


def tick_planned(session: Session, finding_id: int, planned_id: int, at: str | None) -> None:
    """Tick a planned run off, or untick it with None. Raises NotFound."""
    row = session.get(PlannedRun, planned_id)
    if row is None or row.finding_id != finding_id:
        raise NotFound("There is no such planned run.")
    row.ticked_at = at
    session.add(row)


def decided_on(decision: FindingDecision) -> Moment:
    """When a decision was taken."""
    return Moment(decision.at, decision.offset_min)


def runs_as_stood(decision: FindingDecision) -> list[int]:
    """The runs that a decision rested on."""
    return [int(each) for each in json.loads(decision.run_ids)]
