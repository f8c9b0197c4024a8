"""An answer as JSON, and as a few lines that a person reads in ten seconds."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from garage.calc.effect.answer import TARGET_PERCENT, Answer, Next, half_width_percent
from garage.calc.effect.parts import UNEXPLAINED, breaking_in
from garage.calc.effect.planning.planner import MOST_OUTINGS
from garage.calc.effect.planning.plans import Plan, Planned
from garage.calc.effect.runs import EffectRun, PackUse
from garage.calc.effect.sentences import side_words
from garage.calc.effect.verdict import Effect, odds, percent, verdict_said

# Parts smaller than this, in the unit of the outcome, are not worth a sentence.
_WORTH_SAYING = 0.05
_OUTLIERS_NAMED = 20
_DISCHARGE = re.compile(r" \(discharge \d+\)")


def as_json(given: Answer, following: Next, ignored: Sequence[str]) -> dict:
    """The answer in plain values. Amounts in km/h; seen and parts in log points x 100; effects in percent."""
    content: dict = {
        "runs": len(given.design.runs),
        "seen": {"kmh": given.seen.amount, "percent": 100 * given.seen.ln},
        "parts": [{"cause": part.cause, "kmh": part.amount, "percent": 100 * part.ln} for part in given.seen.parts],
        "ignored": list(ignored),
        "effect": _effect(given, given.effect),
        "wide": _effect(given, given.wide),
        "tangled": [
            {"cause": tangle.cause, "share": tangle.share, "sentence": tangle.sentence} for tangle in given.tangled
        ],
        "aliased": sorted({cause for alias in given.aliases if alias.is_exact for cause in alias.causes}),
        "verdict": given.verdict,
        **({"reason": reason_sentence(given, by_row)} if given.judgement.is_held_back else {}),
        "next_runs": None if following.plan is None else _plan(following.plan),
        "outings_needed": following.outings_needed,
    }
    if given.range_effect is not None:
        content["highest_against_lowest"] = {
            "seen": {
                "kmh": given.seen.amount * given.design.steps,
                "percent": 100 * given.seen.ln * given.design.steps,
            },
            "effect": _effect(given, given.range_effect),
        }
    if following.plan is None:
        content["next_runs_reason"] = following.reason
    return content


def _effect(given: Answer, effect: Effect) -> dict:
    low, high = effect.interval_90
    return {
        "percent": effect.percent,
        "kmh": given.amount(effect.ln),
        "interval_90": [percent(low), percent(high)],
        "probability_gain": effect.probability_gain,
    }


def _plan(plan: Plan) -> dict:
    return {
        "runs": [{"factors": planned_factors(run)} for run in plan.runs],
        "half_width_now": half_width_percent(plan.sd_now),
        "half_width_after": half_width_percent(plan.sd_after),
    }


def planned_factors(run: Planned) -> dict:
    """What a planned run is to be made with, by name."""
    named = {"pack": run.pack, "prop": run.prop}
    whole = {name: int(value) if value == int(value) else value for name, value in run.factors.items()}
    factors: dict = whole | {name: value for name, value in named.items() if value}
    return factors | ({"pack_cycle": run.discharge} if run.discharge is not None else {})


def as_lines(given: Answer, following: Next, ignored: Sequence[str], notes: Sequence[str]) -> list[str]:
    """The answer in sentences, with its parts and what it is tangled with."""
    made = given.design
    asked = f"{given.design.question.name}: what did it gain?"
    lines = [asked, "", seen_sentence(given), "", effect_sentence(given), verdict_sentence(given)]
    lines += [f"  {said}" for said in [reason_sentence(given, by_row)] if said]
    lines += [f"  {alias_line}" for alias_line in _aliased(given)]
    lines += ["", "Of what was seen:"]
    lines += [
        f"  {part.cause:<28} {part.amount:+6.2f} km/h  {100 * part.ln:+6.2f} percent" for part in given.seen.parts
    ]
    lines += ["", "Tangled with:"]
    lines += [f"  {tangle.share:4.0%} {tangle.cause}: {tangle.sentence}".rstrip(": ") for tangle in given.tangled]
    lines += ["", *next_lines(given, following)]
    outliers = [weight.key for weight in given.weights if weight.is_outlier]
    if outliers:
        more = len(outliers) - _OUTLIERS_NAMED
        rest = f" and {more} more" if more > 0 else ""
        lines += ["", f"Far off what the others say, look at them: row {', '.join(outliers[:_OUTLIERS_NAMED])}{rest}."]
    said = [*notes, *made.notes]
    if made.left_out:
        said.append(f"The same in all runs, so not in the model: {', '.join(made.left_out)}.")
    if ignored:
        said.append(f"Columns not used: {', '.join(ignored)}.")
    return lines + (["", *said] if said else [])


def seen_sentence(given: Answer, unit: str = "km/h") -> str:
    """ "You saw +2.8 km/h. About +0.7 of that is pack P3, which …" """
    having, lacking = side_words(given.design.question).having, side_words(given.design.question).lacking
    about = given.design.question.about
    per = f" per {_step(given):g}" if about == "setting" else ""
    sides = "with it, compared with the runs without it" if about == "change" else f"{having}, against {lacking}"
    said = f"You saw {given.seen.amount:+.1f} {unit}{per} {sides}."
    own = given.design.question.name
    others = [p for p in given.seen.parts if p.cause not in (own, UNEXPLAINED) and abs(p.amount) >= _WORTH_SAYING]
    if not others:
        return said
    first = max(others, key=lambda part: abs(part.amount))
    return f"{said} About {first.amount:+.1f} of that is {_told(given, first.cause)}."


def _step(given: Answer) -> float:
    return next(f.step for f in given.design.factors if f.name == given.design.question.name)


def _told(given: Answer, cause: str) -> str:
    made = given.design
    for pack in {use.pack for run in made.runs for use in run.packs}:
        if cause == breaking_in(pack):
            words = side_words(made.question)
            with_it, before = (_discharges(given, pack, rows) for rows in (made.with_rows, made.without_rows))
            return f"pack {pack} breaking in: {before} {words.lacking}, {with_it} {words.having}"
    return f"the {cause}" if cause in ("pack", "prop", "air", "wind") else cause


def _discharges(given: Answer, pack: str, rows: Sequence[int]) -> str:
    uses: list[PackUse] = [use for row in rows for use in given.design.runs[row].packs if use.pack == pack]
    counts = sorted(use.discharge for use in uses if use.discharge is not None)
    if not counts:
        return "broken in" if uses else "not used"
    if counts[0] == counts[-1]:
        return f"on discharge {counts[0]}"
    return f"on discharges {counts[0]} to {counts[-1]}"


def by_row(key: str) -> str:
    """A run of a table, by its row."""
    return f"row {key}"


def reason_sentence(given: Answer, named: Callable[[str], str]) -> str:
    """Why a verdict says less than its numbers alone; nothing where it does not. `named` tells a run by its key."""
    return given.judgement.reason(named) if given.judgement.is_held_back else ""


def effect_sentence(given: Answer, unit: str = "km/h") -> str:
    """ "tabs: +3.6 %, between +0.5 and +6.6 (about +2.0 km/h); 5 runs without, 3 with." """
    effect, made = given.effect, given.design
    low, high = (percent(end) for end in effect.interval_90)
    per = f" per {_step(given):g}" if made.question.about == "setting" else ""
    text = (
        f"{made.question.name}{per}: {effect.percent:+.1f} %, between {low:+.1f} and {high:+.1f} "
        f"(about {given.amount(effect.ln):+.1f} {unit})."
    )
    words = side_words(made.question)
    text += f" {_runs(len(made.without_rows))} {words.lacking}, {len(made.with_rows)} {words.having}."
    if given.range_effect is not None:
        low, high = (percent(end) for end in given.range_effect.interval_90)
        text += f" Highest against lowest: {given.range_effect.percent:+.1f} %, between {low:+.1f} and {high:+.1f}."
        if not any(column.key.endswith("²") and column.cause == made.question.name for column in made.columns):
            text += " Two levels: a straight line only."
    return text


def verdict_sentence(
    given: Answer, more: str = "faster", less: str = "slower", verdict: str = "", more_is_better: bool = True
) -> str:
    """ "Cannot tell yet: about 97 in 100 that it is faster; 90 in 100 if packs and days differ more than usual."

    What a wrong guess costs depends on whether more of the outcome is better.
    """
    said = verdict_said(verdict or given.tangled_verdict)
    chance = odds(given.effect.probability_gain, more, less)
    doubtful = max(given.wide.probability_gain, 1 - given.wide.probability_gain)
    in_100 = "more than 99" if doubtful >= 0.995 else f"{round(100 * doubtful)}"
    text = f"{said}: {chance}; {in_100} in 100 if packs, props and days differ more than usual."
    if given.settled:
        return text
    on, off = (percent(cost) for cost in (given.effect.cost_if_left_on, given.effect.cost_if_taken_off))
    if not more_is_better:
        on, off = off, on
    return f"{text} The price of guessing wrong, on average: {_small(on)} if you keep it, {_small(off)} if you go back."


def _small(cost_percent: float) -> str:
    return "less than 0.1 %" if cost_percent < 0.1 else f"{cost_percent:.1f} %"


def next_lines(given: Answer, following: Next) -> list[str]:
    """The next runs in words, in their order, and what they would do to the interval."""
    plan = following.plan
    if plan is None:
        return [following.reason]
    runs = " · ".join(planned_words(given, run, plan) for run in plan.runs)
    now, after = half_width_percent(plan.sd_now), half_width_percent(plan.sd_after)
    lines = [
        f"Best next {_runs(len(plan.runs))}, on one day, in this order: {runs}.",
        *([said] if (said := as_planned(plan)) and len({run.prop for run in given.design.runs}) > 1 else []),
        f"The interval would shrink from ±{now:.1f} % to ±{after:.1f} %.",
    ]
    needed = following.outings_needed
    if needed is None:
        lines.append(
            f"Repeating just these does not bring it to ±{TARGET_PERCENT:g} % within {MOST_OUTINGS} outings: "
            "they alone cannot settle it."
        )
    else:
        outings = "1 such outing brings" if needed == 1 else f"{needed} such outings bring"
        lines.append(f"{outings} it to ±{TARGET_PERCENT:g} % or better.")
    return lines


def planned_words(given: Answer, run: Planned, plan: Plan, with_prop: bool = False) -> str:
    """ "with tabs, prop P1, pack old": what is asked about, and what changes from run to run of the plan; the prop also
    where it stays the same, `with_prop`."""
    question = given.design.question
    settings = {factor.name: factor.is_setting for factor in given.design.factors}
    asked = {question.name, *question.after}
    words = [
        f"{name} {value:g}" if settings[name] else f"{'with' if value else 'without'} {name}"
        for name, value in run.factors.items()
        if name in asked or len({each.factors[name] for each in plan.runs}) > 1
    ]
    if run.prop and (with_prop or question.about == "prop" or len({each.prop for each in plan.runs}) > 1):
        words.append(f"prop {run.prop}")
    if run.pack:
        words.append(_pack_words(run.packs, with_discharge=True))
    return ", ".join(words)


def _pack_words(packs: Sequence[PackUse], with_discharge: bool) -> str:
    """ "packs G and H (discharge 8)" """
    named = [
        use.pack + (f" (discharge {use.discharge})" if with_discharge and use.discharge is not None else "")
        for use in packs
    ]
    return f"{'packs' if len(named) > 1 else 'pack'} {' and '.join(named)}"


def is_as_planned(words: str, run: EffectRun, names: Sequence[str]) -> bool:
    """Whether a run is what the words of a planned one say; `names` are all changes and settings there are.

    Which discharge of its pack it was does not matter: another run may have come between.
    """
    left = _DISCHARGE.sub("", words)
    parts = [f"{name} {value:g}" for name, value in run.factors.items()]
    parts += [f"{'with' if run.factors.get(name) else 'without'} {name}" for name in names]
    parts += [f"prop {run.prop}", _pack_words(run.packs, with_discharge=False)]
    # The longest first: one name may begin with another.
    parts.sort(key=len, reverse=True)
    while left:
        found = next((part for part in parts if left == part or left.startswith(part + ", ")), None)
        if found is None:
            return False
        left = left[len(found) + 2 :]
    return True


def as_planned(plan: Plan) -> str:
    """What stays the same in all runs of a plan and may be mistaken: the prop."""
    props = {run.prop for run in plan.runs}
    return f"All with prop {props.pop()}." if len(props) == 1 and any(props) else ""


def _aliased(given: Answer) -> list[str]:
    return [f"Cannot be told from: {', '.join(alias.causes)}." for alias in given.aliases if alias.is_exact]


def _runs(count: int) -> str:
    return "1 run" if count == 1 else f"{count} runs"
