"""The page that plans a day put together."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from garage.calc.effect.answer import Answer, Next
from garage.calc.effect.planning.planner import smallest_found_percent
from garage.calc.effect.planning.plans import SETUP_MINUTES, Plan
from garage.calc.effect.report import next_lines, planned_words
from garage.findings import sheets
from garage.findings.evidence.runs_store import HullRuns
from garage.findings.gather import minus, open_width
from garage.findings.judge import Judged, judge
from garage.findings.plan.planned_gather import planned_rows
from garage.findings.plan.store import Means, Wanted, available, means
from garage.findings.remembered import next_runs_for
from garage.findings.store import planned_runs
from garage.findings.tables import Finding, PlannedRun
from garage.hulls.store import hull
from garage.units import DisplayUnits

COUNTS = (2, 4, 6)


@dataclass(frozen=True)
class Planning:
    """A question with its plan for so many runs; `there` and `following` are None without an answer."""

    asked: Finding
    judged: Judged
    count: int
    wanted: Wanted
    there: Means | None
    following: Next | None
    words: list[str]

    @property
    def words_to_keep(self) -> list[str]:
        """The planned runs in words that say everything by themselves."""
        given, plan = self.judged.answer, self.following.plan if self.following else None
        return [planned_words(given, run, plan, with_prop=True) for run in plan.runs] if given and plan else []


def planning(session: Session, asked: Finding, count: int, wanted: Wanted, units: DisplayUnits) -> Planning:
    """The best runs for a question, as far as the person keeps to some of what there is."""
    judged = judge(session, asked, units)
    given = judged.answer
    if given is None:
        return Planning(asked, judged, count, wanted, None, None, [])
    there = means(session, asked, given, judged.gathered)
    following = next_runs_for(given, available(given, there, wanted), count)
    words = [planned_words(given, run, following.plan) for run in following.plan.runs] if following.plan else []
    return Planning(asked, judged, count, wanted, there, following, words)


def plan_sheet(session: Session, made: Planning) -> sheets.PlanSheet:
    """The page of a plan."""
    asked, given, following, wanted = made.asked, made.judged.answer, made.following, made.wanted
    plan, kept = following.plan if following else None, planned_runs(session, asked.id)
    lines = next_lines(given, following) if given and following else []
    if plan and len(plan.runs) < made.count:
        lines.append("There are not more runs to plan with these packs, each of them once.")
    if plan and given:
        lines.append(_by_itself(given, len(plan.runs) // 2))
    return sheets.PlanSheet(
        id=asked.id,
        hull_id=asked.hull_id,
        hull=hull(session, asked.hull_id).name,
        title=made.judged.title,
        why=made.judged.why,
        count=made.count,
        counts=COUNTS,
        sides=[
            (key, side.words, wanted.sides is None or key in wanted.sides)
            for key, side in (made.there.sides if made.there else {}).items()
        ],
        packs=[
            (each.lead, each.words, wanted.packs is None or each.lead in wanted.packs)
            for each in (made.there.packs if made.there else ())
        ],
        once=wanted.once,
        words=made.words,
        lines=[minus(line) for line in lines][1 if plan else 0 :],
        minutes=_minutes(plan, made.there) if plan and made.there else 0.0,
        kept=planned_rows(kept, made.judged.gathered),
        kept_widths=kept_widths(kept, made.judged),
        open_width=open_width(made.judged),
        open_outing=_open_outing(made.judged.gathered),
        values={},
    )


def _by_itself(given: Answer, a_side: int) -> str:
    """What so many runs on each side in turn would find on one day without all others."""
    found = smallest_found_percent(given.sigma, max(a_side, 1))
    runs = f"{max(a_side, 1)} and {max(a_side, 1)} runs"
    return (
        f"Without all runs before, {runs} in turn on one day would find a difference of {found:.1f} % 4 times in 5, "
        f"at the {100 * given.sigma:.1f} % that these runs scatter."
    )


def _minutes(plan: Plan, there: Means) -> float:
    """Time beside the runs, with the change from the boat as she is to the first of them."""
    first = plan.runs[0]
    asked = {name for side in there.sides.values() for name in side.factors}
    differs = any(first.factors[name] != there.now.get(name, 0.0) for name in asked) or first.prop != there.prop
    return plan.minutes + differs * SETUP_MINUTES


def _open_outing(gathered: HullRuns) -> int | None:
    """The outing at which this hull is running now."""
    return gathered.rows[max(gathered.open_ids)].outing_id if gathered.open_ids else None


def kept_widths(rows: Sequence[PlannedRun], judged: Judged) -> str:
    """The width as it was when the day was planned, as planned, and as it is."""
    if not rows or judged.answer is None:
        return ""
    low, high = judged.answer.effect.interval_90
    half = (high - low) / 2 if judged.with_open is None else judged.with_open
    return (
        f"Give or take {rows[0].half_width_now:.1f} percent when this was planned; "
        f"with the runs written so far, {100 * half:.1f} percent; "
        f"expected once all are made, {rows[0].half_width_after:.1f} percent."
    )
