"""When an outing is closed: the findings of its hulls are worked out and stored, and a verdict may change."""

from sqlmodel import Session, select

from garage.calc.effect.answer import Brief
from garage.calc.effect.verdict import GAIN, LOSS
from garage.findings import store
from garage.findings.evidence.outcomes import OUTCOMES
from garage.findings.evidence.runs_store import hull_runs, only_closed
from garage.findings.judge import briefs_of, priors_for
from garage.findings.tables import Finding, FindingResult
from garage.moments import Moment
from garage.runs.tables import Run
from garage.units import DisplayUnits

# Modifications of a hull that are asked about without anybody having asked.
_MOST_ASKED = 20


def judge_outing(session: Session, outing_id: int, at: Moment, units: DisplayUnits) -> int:
    """Store the answers of every question about the hulls of an outing just closed; how many verdicts changed."""
    hulls = session.exec(select(Run.hull_id).where(Run.outing_id == outing_id).distinct())
    return sum(judge_hull(session, hull_id, outing_id, at, units) for hull_id in list(hulls))


def judge_hull(session: Session, hull_id: int, outing_id: int, at: Moment, units: DisplayUnits) -> int:
    """Store the answers of every question about one hull, as of an outing; how many verdicts changed."""
    gathered = only_closed(hull_runs(session, hull_id, OUTCOMES["speed"], units))
    _ask_about_modifications(session, hull_id, list(gathered.names), at)
    asked = store.findings_of(session, hull_id)
    before = store.latest_results(session, [each.id for each in asked])
    priors = priors_for(session, gathered)
    of_all = dict(zip([each.id for each in asked], briefs_of(session, asked, gathered, priors), strict=True))
    changed = 0
    for each in asked:
        choices = store.run_choices(session, each.id)
        own = only_closed(hull_runs(session, hull_id, OUTCOMES["speed"], units, choices)) if choices else gathered
        briefs = briefs_of(session, [each], own, priors) if choices else [of_all[each.id]]
        if briefs[0] is None:
            continue
        last = before.get(each.id)
        last = last if last and last.outing_id != outing_id else None
        store.keep_result(session, _result(each, briefs[0], len(own.runs), outing_id, at, last))
        changed += last is not None and last.verdict != briefs[0].verdict
    return changed


def _ask_about_modifications(session: Session, hull_id: int, keys: list[str], at: Moment) -> None:
    for key in [key for key in keys if key.startswith("modification:")][-_MOST_ASKED:]:
        store.ask(session, hull_id, "change", key.removeprefix("modification:"), at)


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
