"""The page that plans a day put together."""

from dataclasses import dataclass

from sqlmodel import Session

from garage.calc.effect.answer import Next, next_runs
from garage.calc.effect.report import next_lines, planned_words
from garage.findings import sheets
from garage.findings.gather import minus, open_width, planned_rows
from garage.findings.judge import Judged, judge, title
from garage.findings.plan_store import available, usable_packs
from garage.findings.tables import Finding
from garage.hulls.store import hull
from garage.units import DisplayUnits

COUNTS = (2, 4, 6)


@dataclass(frozen=True)
class Planning:
    """A question with its plan for so many runs on some packs; `following` is None without an answer."""

    asked: Finding
    judged: Judged
    count: int
    wanted: list[str]
    following: Next | None
    words: list[str]


def planning(session: Session, asked: Finding, count: int, wanted: list[str], units: DisplayUnits) -> Planning:
    """The best runs for a question. `wanted` are codes of packs to keep to; none: all that can be used."""
    judged = judge(session, asked, units)
    given = judged.answer
    if given is None:
        return Planning(asked, judged, count, wanted, None, [])
    following = next_runs(given, available(session, asked, given, judged.gathered, wanted), count)
    words = [planned_words(given, run, following.plan) for run in following.plan.runs] if following.plan else []
    return Planning(asked, judged, count, wanted, following, words)


def plan_sheet(session: Session, made: Planning) -> sheets.PlanSheet:
    """The page of a plan."""
    asked, given, following = made.asked, made.judged.answer, made.following
    assert asked.id is not None
    usable = usable_packs(session, made.judged.gathered)
    lines = next_lines(given, following) if given and following else []
    plan = following.plan if following else None
    return sheets.PlanSheet(
        id=asked.id,
        hull=hull(session, asked.hull_id).name,
        title=title(session, asked),
        why=made.judged.why,
        count=made.count,
        counts=COUNTS,
        packs=[
            (code, _pack_words(code, next_one), not made.wanted or code in made.wanted)
            for code, next_one in usable.items()
        ],
        words=made.words,
        lines=[minus(line) for line in lines][1 if plan else 0 :],
        minutes=plan.minutes if plan else 0.0,
        kept=planned_rows(session, asked.id),
        open_width=open_width(made.judged),
        values={},
    )


def _pack_words(code: str, discharge: int | None) -> str:
    return code if discharge is None else f"{code}, discharge {discharge} comes next"
