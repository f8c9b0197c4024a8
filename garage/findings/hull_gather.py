"""What makes this boat fast: every effect on a hull, ranked."""

from sqlmodel import Session

from garage.calc.effect.answer import Brief, several
from garage.calc.effect.verdict import CANNOT_TELL, percent
from garage.findings import sheets, store
from garage.findings.asked_packs import retire_of_asked
from garage.findings.drawings import Ranked, ranked_chart
from garage.findings.evidence.outcomes import OUTCOMES
from garage.findings.evidence.runs_store import HullRuns, hull_runs, only_closed
from garage.findings.gather import decision_row
from garage.findings.judge import priors_for, question, varying
from garage.findings.subjects import subjects
from garage.findings.tables import Finding
from garage.hulls.store import hull
from garage.states.query_store import moment_of, states
from garage.units import DisplayUnits

_MOST_EFFECTS, _MOST_STATES = 30, 30
_PER_STEP = ", per step"


def hull_effects_sheet(session: Session, hull_id: int, units: DisplayUnits) -> sheets.HullEffectsSheet:
    """All effects of a hull in one ranked chart; those that cannot be told from others are tied to them by name."""
    gathered = only_closed(hull_runs(session, hull_id, OUTCOMES["speed"], units))
    priors = priors_for(session, gathered, store.assumptions(session))
    listed = _questions(gathered)[:_MOST_EFFECTS]
    kept = store.findings_of(session, hull_id)
    asked = [Finding(id=0, hull_id=hull_id, about=about, subject=subject, created_at="") for about, subject in listed]
    of_all = subjects(session, [*asked, *kept])
    own, titles = of_all[: len(asked)], {each.asked.id: each.title for each in of_all[len(asked) :]}
    questions = [question(each, gathered) for each in own]
    briefs = several(list(gathered.runs.values()), varying(gathered), questions, priors)
    retire = retire_of_asked(session, asked, gathered)
    rows = [
        _row(each.asked, each.title, brief, retire.get((each.asked.about, each.asked.subject), ""))
        for each, brief in zip(own, briefs, strict=True)
        if brief
    ]
    rows.sort(key=lambda row: -row.percent)
    decided = store.decisions_of(session, [each.id for each in kept]) if kept else []
    ties = _ties(rows)
    chart = [
        Ranked(row.name, row.percent, row.low, row.high, row.verdict == CANNOT_TELL, tie)
        for row, tie in zip(rows, ties, strict=True)
    ]
    return sheets.HullEffectsSheet(
        hull_id=hull_id,
        hull=hull(session, hull_id).name,
        runs=len(gathered.runs),
        why="" if rows else "No two runs of this hull differ in anything that can be asked about.",
        rows=rows,
        states=_states(session, hull_id),
        decisions=[(titles[each.finding_id], decision_row(each)) for each in decided],
        values={},
        drawing=ranked_chart(chart),
    )


def _questions(gathered: HullRuns) -> list[tuple[str, str]]:
    by_name = {name: key for key, name in gathered.names.items()}
    asked = []
    for factor in varying(gathered):
        kind, _, subject = by_name[factor.name].partition(":")
        if kind != "part":
            asked.append(("setting" if kind == "setting" else "change", subject))
    props = {run.prop for run in gathered.runs.values()}
    packs = {use.pack for run in gathered.runs.values() for use in run.packs}
    if len(props) > 1:
        asked += [("prop", subject) for subject, name in gathered.props.items() if subject and name in props]
    if len(packs) > 1:
        asked += [("pack", str(pack_id)) for pack_id, name in gathered.packs.items() if name in packs]
    return asked


def _row(asked: Finding, name: str, brief: Brief, retire: str) -> sheets.EffectRow:
    low, high = (percent(end) for end in brief.effect.interval_90)
    what = {"setting": name + _PER_STEP, "prop": f"prop {name}", "pack": f"pack {name}"}.get(asked.about, name)
    return sheets.EffectRow(
        asked.about,
        asked.subject,
        what,
        brief.effect.percent,
        low,
        high,
        brief.effect.probability_gain,
        brief.verdict,
        brief.judgement.brief,
        ", ".join(brief.tied_with),
        list(brief.tied_with),
        retire,
    )


def _ties(rows: list[sheets.EffectRow]) -> list[int]:
    """For each effect the number of the group that cannot be told apart, from 1; 0 for one that stands alone."""
    places = {row.name.removesuffix(_PER_STEP): place for place, row in enumerate(rows)}
    groups: list[set[int]] = []
    for place, row in enumerate(rows):
        group = {place} | {places[name] for name in row.tied if name in places}
        for other in [each for each in groups if each & group]:
            groups.remove(other)
            group |= other
        groups.append(group)
    found = [0] * len(rows)
    for number, group in enumerate((each for each in groups if len(each) > 1), start=1):
        for place in group:
            found[place] = number
    return found


def _states(session: Session, hull_id: int) -> list[tuple[str, str]]:
    """Build states to set against each other, newest first: id, and number with its day."""
    rows = states(session, hull_id, limit=_MOST_STATES)
    return [(str(row.id), f"{row.number}, {moment_of(row).day()}") for row in rows]
