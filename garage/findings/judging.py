"""When an outing is closed: the findings of its hulls are worked out and stored, and a verdict may change."""

from sqlmodel import Session, select

from garage.calc.effect.answer import Brief
from garage.calc.effect.priors import Priors
from garage.calc.effect.verdict import GAIN, LOSS
from garage.findings import store
from garage.findings.evidence.causes import causes_of, with_causes
from garage.findings.evidence.outcomes import OUTCOMES
from garage.findings.evidence.runs_store import only_closed, read_runs
from garage.findings.judge import briefs_of, priors_for
from garage.findings.subjects import subjects
from garage.findings.tables import Finding, FindingResult
from garage.moments import Moment
from garage.runs.lines.store import run_facts
from garage.runs.tables import Run
from garage.units import DisplayUnits

# Modifications of a hull that are asked about without anybody having asked.
_MOST_ASKED = 20


def judge_outing(session: Session, outing_id: int, at: Moment, units: DisplayUnits) -> int:
    """Store the answers of every question about the hulls of an outing just closed; how many verdicts changed."""
    hulls = session.exec(select(Run.hull_id).where(Run.outing_id == outing_id).distinct())
    kept = store.assumptions(session)
    return sum(_judge_hull(session, hull_id, outing_id, at, units, kept) for hull_id in list(hulls))


def judge_hull(session: Session, hull_id: int, outing_id: int, at: Moment, units: DisplayUnits) -> int:
    """Store the answers of every question about one hull, as of an outing; how many verdicts changed."""
    return _judge_hull(session, hull_id, outing_id, at, units, store.assumptions(session))


def _judge_hull(
    session: Session, hull_id: int, outing_id: int, at: Moment, units: DisplayUnits, kept: tuple[Priors, bool]
) -> int:
    read = read_runs(session, hull_id, OUTCOMES["speed"], run_facts)
    gathered = only_closed(read.chosen(units, {}))
    _ask_about_modifications(session, hull_id, list(gathered.names), at)
    asked = store.findings_of(session, hull_id)
    ids = [each.id for each in asked]
    before, choices = store.latest_results(session, ids), store.run_choices_of(session, ids)
    priors = priors_for(session, gathered, kept)
    about = subjects(session, asked)
    of_all = briefs_of(about, gathered, priors)
    results, changed = [], 0
    for each, subject, brief in zip(asked, about, of_all, strict=True):
        own, briefs = gathered, [brief]
        causes = causes_of(each)
        if each.id in choices or causes:
            own = only_closed(read.chosen(units, choices.get(each.id, {}), causes))
            briefs = briefs_of([subject], own, with_causes(priors, causes, own.names, 1.0))
        if briefs[0] is None:
            continue
        last = before.get(each.id)
        last = last if last and last.outing_id != outing_id else None
        results.append(_result(each, briefs[0], len(own.runs), outing_id, at, last))
        changed += last is not None and last.verdict != briefs[0].verdict
    store.keep_results(session, outing_id, results)
    return changed


def _ask_about_modifications(session: Session, hull_id: int, keys: list[str], at: Moment) -> None:
    own = [key.removeprefix("modification:") for key in keys if key.startswith("modification:")]
    store.ask_each(session, hull_id, "change", own[-_MOST_ASKED:], at)


def _result(
    asked: Finding, given: Brief, runs: int, outing_id: int, at: Moment, last: FindingResult | None
) -> FindingResult:
    low, high = given.effect.interval_90
    return FindingResult(
        finding_id=asked.id,
        outing_id=outing_id,
        at=at.utc,
        verdict=given.verdict,
        verdict_before=last.verdict if last else "",
        confirmed=last is not None and last.verdict == given.verdict and given.verdict in (GAIN, LOSS),
        ln=given.effect.ln,
        low_ln=low,
        high_ln=high,
        chance=given.effect.probability_gain,
        wide_chance=given.wide.probability_gain,
        runs=runs,
    )
