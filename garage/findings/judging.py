"""When an outing is closed: the findings of its hulls are worked out and stored, and a verdict may change."""

from collections.abc import Iterable, Sequence

from sqlmodel import Session, select
from sqlmodel.sql.expression import SelectOfScalar

from garage.calc.effect.answer import Brief
from garage.calc.effect.verdict import GAIN, LOSS
from garage.db.in_ids import in_
from garage.findings import store
from garage.findings.evidence.causes import causes_of, with_causes
from garage.findings.evidence.outcomes import OUTCOMES
from garage.findings.evidence.runs_store import only_closed, read_runs_of
from garage.findings.judge import briefs_of, priors_for, titles_in
from garage.findings.subjects import subjects
from garage.findings.tables import Finding, FindingResult
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.runs.lines.store import run_facts
from garage.runs.tables import Run
from garage.units import DisplayUnits

# Modifications of a hull that are asked about without anybody having asked.
_MOST_ASKED = 20


def judge_outings(session: Session, outing_ids: Sequence[int], at: Moment, units: DisplayUnits) -> int:
    """Store the answers of every question about the hulls of outings just closed together, the latest last: once, as of
    that one. How many verdicts changed."""
    if not outing_ids:
        return 0
    return _judge(session, select(Run.hull_id).where(in_(Run.outing_id, outing_ids)), outing_ids[-1], at, units)


def judge_hull(session: Session, hull_id: int, outing_id: int, at: Moment, units: DisplayUnits) -> int:
    """Store the answers of every question about one hull, as of an outing; how many verdicts changed."""
    return _judge(session, select(Hull.id).where(Hull.id == hull_id), outing_id, at, units)


def _judge(session: Session, hull_ids: SelectOfScalar[int], outing_id: int, at: Moment, units: DisplayUnits) -> int:
    """All hulls are read together, so that more of them ask no more."""
    kept = store.assumptions(session)
    read = read_runs_of(session, hull_ids, OUTCOMES["speed"], run_facts)
    gathered = {hull_id: only_closed(own.chosen(units, {})) for hull_id, own in read.items()}
    fitted = {hull_id: _modifications(own.names) for hull_id, own in gathered.items()}
    judging = store.to_judge(session, fitted, outing_id, at)
    asked = [one.asked for questions in judging.questions.values() for one in questions]
    known = {key: title for own in gathered.values() for key, title in titles_in(own).items()}
    about = {one.asked.id: one for one in subjects(session, asked, known)}
    results, instead_of, changed = [], [], 0
    for hull_id, questions in judging.questions.items():
        own, priors = gathered[hull_id], priors_for(session, gathered[hull_id], kept)
        of_all = briefs_of([about[each.asked.id] for each in questions], own, priors)
        for each, brief in zip(questions, of_all, strict=True):
            runs, given, causes = own, brief, causes_of(each.asked)
            if each.choices or causes:
                runs = only_closed(read[hull_id].chosen(units, each.choices, causes))
                given = briefs_of([about[each.asked.id]], runs, with_causes(priors, causes, runs.names, 1.0))[0]
            if given is None:
                continue
            before = each.last_verdict if each.last_outing_id != outing_id else ""
            results.append(_result(each.asked, given, len(runs.runs), outing_id, at, before))
            instead_of += [each.answer] if each.answer else []
            changed += before not in ("", given.verdict)
    store.keep_results(session, results, instead_of, judging.last_id)
    return changed


def _modifications(keys: Iterable[str]) -> list[str]:
    own = [key.removeprefix("modification:") for key in keys if key.startswith("modification:")]
    return own[-_MOST_ASKED:]


def _result(asked: Finding, given: Brief, runs: int, outing_id: int, at: Moment, before: str) -> FindingResult:
    low, high = given.effect.interval_90
    return FindingResult(
        finding_id=asked.id,
        outing_id=outing_id,
        at=at.utc,
        verdict=given.verdict,
        verdict_before=before,
        confirmed=before == given.verdict and given.verdict in (GAIN, LOSS),
        ln=given.effect.ln,
        low_ln=low,
        high_ln=high,
        chance=given.effect.probability_gain,
        wide_chance=given.wide.probability_gain,
        runs=runs,
    )
