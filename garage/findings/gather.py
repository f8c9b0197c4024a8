"""The page of one question put together."""

import re

from sqlmodel import Session

from garage.calc.effect.answer import Answer
from garage.calc.effect.parts import UNEXPLAINED
from garage.calc.effect.report import (
    effect_sentence,
    next_lines,
    planned_words,
    reason_sentence,
    seen_sentence,
    verdict_sentence,
)
from garage.calc.effect.verdict import Effect, percent
from garage.findings import sheets, store
from garage.findings.asked_packs import retire_of_asked
from garage.findings.drawings import Bar, parts_chart
from garage.findings.evidence.causes import cause_factor, causes_of, possible_causes, ticked
from garage.findings.evidence.outcomes import OUTCOMES, Outcome
from garage.findings.evidence.ratings_gather import rating_sentences
from garage.findings.evidence.runs_store import HullRuns
from garage.findings.in_time import never_back
from garage.findings.judge import Judged, judge
from garage.findings.plan.planned_gather import planned_rows
from garage.findings.plan.store import Wanted, available, means
from garage.findings.remembered import next_runs_for
from garage.findings.tables import Finding, FindingDecision
from garage.hulls.store import hull
from garage.moments import Moment
from garage.own_fields.at_hand import Own
from garage.own_fields.fields import USUAL_PRIOR_PERCENT
from garage.runs.lines.line import RunLine, line_of
from garage.units import KINDS, DisplayUnits

_MINUS = re.compile(r"(?<![\w.])-(?=\d)")
# Verdicts of an outcome of which more is not simply better.
_PLAIN = {
    "gain": "higher",
    "loss": "lower",
    "probably a gain": "probably higher",
    "probably a loss": "probably lower",
}
_FEW_OUTINGS = 4
_MOST_BARS = 5
_ENERGY_KNOWN = {
    "log": "volts and current of the log over its distance",
    "charge": "charge put back at 3.7 V a cell, distance of the log",
}
_THING_URL = {"change": "/modifications/{}", "pack": "/packs/{}"}


def answer_sheet(session: Session, asked: Finding, outcome_key: str, units: DisplayUnits) -> sheets.AnswerSheet:
    """The page of one question; `outcome_key` is one of OUTCOMES, else the speed."""
    outcome = OUTCOMES.get(outcome_key, OUTCOMES["speed"])
    judged = judge(session, asked, units, outcome)
    given, unit = judged.answer, units.unit(outcome.kind)
    spoken, silent = _runs(judged)
    name = judged.title
    if given is None:
        figures: dict = _nothing()
    else:
        figures = _figures(session, asked, given, judged.gathered, outcome, unit)
        named = {str(one.line.id): f"the run of {one.line.started.day()}, run {one.line.number}" for one in spoken}
        figures["reason"] = minus(reason_sentence(given, named.__getitem__))
    ratings = rating_sentences(given, judged.gathered) if given and outcome.key == "speed" else []
    figures["notes"] = figures["notes"] + _one_way_notes(judged) + ratings
    return sheets.AnswerSheet(
        id=asked.id,
        hull_id=asked.hull_id,
        hull=hull(session, asked.hull_id).name,
        title=f"{name}: what did it gain?" if outcome.key == "speed" else f"{outcome.title}: what did {name} do?",
        about=asked.about,
        retire=retire_of_asked(session, [asked], judged.gathered).get((asked.about, asked.subject), ""),
        thing_url=_THING_URL.get(asked.about, "").format(asked.subject),
        outcome=outcome.key,
        outcome_title=outcome.title,
        outcomes=[(each.key, each.title) for each in OUTCOMES.values()],
        unit=unit,
        why=judged.why,
        open_width=open_width(judged),
        spoken=spoken,
        silent=silent,
        decisions=[decision_row(row) for row in store.decisions_of(session, [asked.id])],
        results=_results(session, asked.id) if outcome.key == "speed" else [],
        planned=planned_rows(store.planned_runs(session, asked.id), judged.gathered),
        is_cut=judged.gathered.is_cut,
        causes=_causes(asked, judged.gathered),
        values={"causes": [str(one.number) for one in causes_of(asked)]},
        **figures,
    )


def _causes(asked: Finding, gathered: HullRuns) -> list[sheets.CauseRow]:
    """The own fields that may be ticked; one that was put away only where it is ticked already."""
    chosen = {one.own.number: one for one in ticked(causes_of(asked), gathered.names, list(gathered.runs.values()))}
    return [
        sheets.CauseRow(
            one.number,
            one.field.label,
            one.thing,
            one.prior_percent,
            "assumed" if one.prior_percent == USUAL_PRIOR_PERCENT else "your own assumption",
            _step_words(one),
            chosen[one.number].lacking if one.number in chosen else None,
            one.is_aside,
        )
        for one in possible_causes()
        if one.number in chosen or not one.is_aside
    ]


def _step_words(one: Own) -> str:
    """What one step of an own field is: `1 turns`, or one choice held against the others."""
    if one.field.choices:
        return "one choice against the others"
    step = cause_factor(f"own:{one.number}", "").step
    unit = KINDS[one.field.kind].storage_unit if one.field.is_measure else one.field.unit
    return f"{step:g} {unit}".strip()


def _nothing() -> dict:
    empty: dict = {
        name: [] for name in ("sentences", "parts", "tangled", "aliased", "next_words", "next_lines", "notes")
    }
    return empty | {
        "lede": "",
        "in_time": "",
        "verdict": "",
        "reason": "",
        "headline": "",
        "effect": None,
        "wide": None,
        "seen": 0.0,
        "sigma_percent": 0.0,
        "tau_percent": 0.0,
    }


def _figures(session: Session, asked: Finding, given: Answer, gathered: HullRuns, outcome: Outcome, unit: str) -> dict:
    own = given.design.question.name
    there = means(session, asked, given, gathered)
    following = next_runs_for(given, available(given, there, Wanted()))
    bars = _bars(given, own)
    low, high = (given.amount(end) for end in given.effect.interval_90)
    verdict = verdict_words(given.tangled_verdict, outcome)
    return {
        "lede": _lede(given),
        "verdict": verdict,
        "headline": f"{_signed(given.effect.percent)} %",
        "effect": _effect(given, given.effect),
        "wide": _effect(given, given.wide),
        "sentences": [
            minus(verdict_sentence(given, outcome.more, outcome.less, verdict, outcome.more_is_better)),
            minus(seen_sentence(given, unit)),
        ],
        "seen": given.seen.amount,
        "parts": [sheets.PartRow(part.cause, part.amount, 100 * part.ln) for part in given.seen.parts],
        "tangled": [
            sheets.TangleRow(each.cause, each.share, minus(each.sentence), minus(each.brief)) for each in given.tangled
        ],
        "aliased": sorted({cause for each in given.aliases if each.is_exact for cause in each.causes}),
        "in_time": never_back(given.design, can_go_back=len(there.sides) != 1),
        "next_words": [planned_words(given, run, following.plan) for run in following.plan.runs]
        if following.plan
        else [],
        "next_lines": [minus(line) for line in next_lines(given, following)][1 if following.plan else 0 :],
        "notes": _notes(given, unit),
        "sigma_percent": 100 * given.sigma,
        "tau_percent": 100 * given.tau,
        "drawing": parts_chart(given.seen.amount, bars, (low, high), unit),
    }


def _bars(given: Answer, own: str) -> list[Bar]:
    """The thing itself, the largest other causes, all the rest in one, and what stays unexplained."""
    parts = {part.cause: part.amount for part in given.seen.parts}
    own_part, unexplained = parts.pop(own, 0.0), parts.pop(UNEXPLAINED)
    ranked = sorted(parts.items(), key=lambda pair: -abs(pair[1]))
    shown = ranked if len(ranked) <= _MOST_BARS + 1 else ranked[:_MOST_BARS]
    bars = [Bar(own, own_part, True), *(Bar(cause, amount) for cause, amount in shown)]
    rest = ranked[len(shown) :]
    if rest:
        bars.append(Bar(f"{len(rest)} smaller causes", sum(amount for _, amount in rest)))
    return [*bars, Bar(UNEXPLAINED, unexplained)]


def verdict_words(verdict: str, outcome: Outcome) -> str:
    """The verdict as this outcome calls it."""
    if outcome.key == "speed":
        return verdict
    head, sep, tail = verdict.partition(", but")
    return _PLAIN.get(head, head) + sep + tail


def _effect(given: Answer, effect: Effect) -> sheets.EffectFigures:
    low, high = (percent(end) for end in effect.interval_90)
    return sheets.EffectFigures(effect.percent, low, high, given.amount(effect.ln), effect.probability_gain)


def _lede(given: Answer) -> str:
    outings = len(given.design.outing_names)
    with_it, without = len(given.design.with_rows), len(given.design.without_rows)
    words = {"setting": ("at its lowest", "at its highest"), "states": ("on the earlier", "on the later")}
    lacking, having = words.get(given.design.question.about, ("without", "with"))
    runs = "run" if without == 1 else "runs"
    return f"{without} {runs} {lacking} and {with_it} {having}, on {outings} {'outing' if outings == 1 else 'outings'}"


def _own_priors(given: Answer) -> list[str]:
    """What was assumed of single packs from their readings, in words."""
    columns = {column.key for column in given.design.columns}
    words = [
        f"{key.replace('break-in:', 'break-in of ').replace('pack:', 'pack ')} "
        f"{100 * prior.mean:+.1f} %, give or take {100 * prior.sd:.1f}"
        for key, prior in given.priors.own
        if key in columns and key.startswith(("pack:", "break-in"))
    ]
    if not words:
        return []
    return [minus(f"Assumed from resistance readings at 25 °C and the mean current of the runs: {'; '.join(words)}.")]


def _notes(given: Answer, unit: str) -> list[str]:
    made = given.design
    notes = [minus(effect_sentence(given, unit)), *made.notes, *_own_priors(given)]
    if made.left_out:
        notes.append(f"The same in all runs, so not in the model: {', '.join(made.left_out)}.")
    if len(made.outing_names) < _FEW_OUTINGS:
        notes.append("Fewer than four outings: how much days differ is mostly assumed.")
    notes.append("Large effects read a little low, and what two changes do only together is not modelled.")
    return notes


def _one_way_notes(judged: Judged) -> list[str]:
    """Runs one way only in a wind of which nobody knows whether it was ahead or behind."""
    gathered = judged.gathered
    if judged.answer is None or judged.outcome.key != "speed":
        return []
    unknown = sum(
        gathered.rows[run_id].ways == "one way" and bool(run.wind_ms) and run.headwind_ms is None
        for run_id, run in gathered.runs.items()
    )
    if not unknown:
        return []
    runs = "1 run one way only" if unknown == 1 else f"{unknown} runs one way only"
    return [
        f"For {runs} it is not known whether the wind was ahead or behind: taken as neither. "
        "Where the wind came from, with a log of the run, tells it."
    ]


def _runs(judged: Judged) -> tuple[list[sheets.SpokenRun], list[sheets.SilentRun]]:
    gathered = judged.gathered
    lines = {run_id: line_of(row, gathered.facts) for run_id, row in gathered.rows.items()}
    weights = {int(each.key): each for each in judged.answer.weights} if judged.answer else {}
    spoken = []
    for run_id in reversed(gathered.runs):
        each = weights.get(run_id)
        spoken.append(
            sheets.SpokenRun(
                lines[run_id],
                gathered.runs[run_id].outcome,
                known_words(judged.outcome, gathered.runs[run_id].how, lines[run_id]),
                each.weight if each else 0.0,
                100 * each.residual if each else 0.0,
                bool(each and each.is_outlier),
                run_id in gathered.open_ids,
            )
        )
    return spoken, [_silent(lines, left.run_id, left.why, left.can_return) for left in reversed(gathered.left_out)]


def known_words(outcome: Outcome, how: str, line: RunLine) -> str:
    """How the outcome of a run is known."""
    if outcome.key == "speed":
        return line.known
    return {"energy": _ENERGY_KNOWN[how], "corners": "mean of its corners in the log"}.get(outcome.key, "as read")


def _silent(lines: dict[int, RunLine], run_id: int, why: str, can_return: bool) -> sheets.SilentRun:
    return sheets.SilentRun(lines[run_id], why, can_return)


def open_width(judged: Judged) -> str:
    """How the runs of an outing that is open move the interval, in words; nothing where none is."""
    if judged.with_open is None or judged.answer is None:
        return ""
    low, high = judged.answer.effect.interval_90
    return (
        f"An outing is open: with its runs the interval goes from ±{50 * (high - low):.1f} % to "
        f"±{100 * judged.with_open:.1f} %. The verdict waits until the outing is closed."
    )


def decision_row(row: FindingDecision) -> sheets.DecisionRow:
    """A decision as a page shows it."""
    runs = store.runs_as_stood(row)
    return sheets.DecisionRow(row.id, store.decided_on(row), row.kind, row.reason, row.verdict, row.numbers, runs)


def _results(session: Session, finding_id: int) -> list[sheets.ResultRow]:
    return [
        sheets.ResultRow(
            Moment.here(row.at),
            row.outing_id,
            row.verdict,
            row.confirmed,
            percent(row.ln),
            percent(row.low_ln),
            percent(row.high_ln),
            row.runs,
        )
        for row in store.results_of(session, finding_id)
    ]


def numbers_words(given: Answer) -> str:
    """The figures of an answer in one line, to keep beside a decision."""
    low, high = (percent(end) for end in given.effect.interval_90)
    return (
        f"{_signed(given.effect.percent)} %, between {_signed(low)} and {_signed(high)}; "
        f"{round(100 * given.effect.probability_gain)} in 100 that it is faster"
    )


def minus(text: str) -> str:
    """Text with true minus signs before figures."""
    return _MINUS.sub("−", text)


def _signed(value: float) -> str:
    return minus(f"{value:+.1f}")
