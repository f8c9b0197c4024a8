"""What other pages tell of findings: verdicts that changed, what was decided on a hull, what is found about a thing."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from garage.calc.effect.verdict import percent
from garage.findings import store
from garage.findings.asked_packs import retire_of_asked
from garage.findings.subjects import title, titles
from garage.findings.tables import Finding, FindingDecision
from garage.moments import Moment


@dataclass(frozen=True)
class ChangedFinding:
    """A finding whose verdict is another than before."""

    id: int
    hull: str
    title: str
    verdict: str
    before: str
    retire: str = ""


@dataclass(frozen=True)
class OpenQuestion:
    """A question that its last answer leaves open: the ends of the interval and what is likeliest, in percent."""

    id: int
    hull: str
    title: str
    verdict: str
    percent: float
    low: float
    high: float
    judged: Moment
    retire: str = ""


@dataclass(frozen=True)
class Undecided:
    """A question that its last answer settles, and of which nobody said yet what is done about it."""

    id: int
    hull: str
    title: str
    verdict: str
    judged: Moment


@dataclass(frozen=True)
class FindingNews:
    """What the answers kept at the last outings have to tell: verdicts that changed, questions still open, and settled
    ones that could be decided."""

    changed: list[ChangedFinding]
    open: list[OpenQuestion]
    undecided: list[Undecided]


def finding_news(session: Session, *, changes: int, questions: int, undecided: int = 0) -> FindingNews:
    """The latest verdicts that changed and were not marked as seen, the latest answers that settle nothing, and those
    that settle what nobody decided, but for those that changed; as they were kept, nothing is computed."""
    rows = store.unnoticed_and_open(session, changes=changes, questions=questions, settled=undecided)
    found = FindingNews([], [], [])
    if not rows:
        return found
    asked = [row[1] for row in rows]
    retire = retire_of_asked(session, asked)
    for (result, one, hull, is_changed, is_open, is_settled), name in zip(rows, titles(session, asked), strict=True):
        done = retire.get((one.about, one.subject), "")
        if is_changed:
            found.changed.append(ChangedFinding(one.id, hull, name, result.verdict, result.verdict_before, done))
        if is_settled and not is_changed:
            found.undecided.append(Undecided(one.id, hull, name, result.verdict, Moment.here(result.at)))
        if is_open:
            figures = (percent(result.ln), percent(result.low_ln), percent(result.high_ln))
            found.open.append(OpenQuestion(one.id, hull, name, result.verdict, *figures, Moment.here(result.at), done))
    return found


@dataclass(frozen=True)
class Decided:
    """What the person decided about something, with the figures as they stood."""

    finding_id: int
    at: Moment
    title: str
    kind: str
    reason: str
    verdict: str
    numbers: str


def decided_on_hull(
    session: Session, hull_id: int, most: int, also: Sequence[int]
) -> tuple[list[Decided], dict[int, Decided]]:
    """The latest decisions about a hull, and those of some ids by id."""
    latest, rows = store.decisions_on_hull(session, hull_id, also, limit=most)
    found = {row.id: one for (row, _), one in zip(rows, _told(session, rows), strict=True)}
    return [found[row.id] for row, _ in latest], {one: found[one] for one in also if one in found}


def decided_by_id(session: Session, ids: list[int]) -> dict[int, Decided]:
    """Some decisions."""
    rows = store.decisions_by_id(session, ids) if ids else []
    return {row.id: one for (row, _), one in zip(rows, _told(session, rows), strict=True)}


def _told(session: Session, rows: list[tuple[FindingDecision, Finding]]) -> list[Decided]:
    named = titles(session, [asked for _, asked in rows])
    return [_decided(row, name) for (row, _), name in zip(rows, named, strict=True)]


def _decided(row: FindingDecision, name: str) -> Decided:
    return Decided(row.finding_id, store.decided_on(row), name, row.kind, row.reason, row.verdict, row.numbers)


@dataclass(frozen=True)
class Found:
    """What is found about one thing: the answer when an outing was last closed, and the decisions, latest first.

    `verdict` is empty and the figures, in percent, are None where no outing was judged yet.
    """

    finding_id: int
    verdict: str
    confirmed: bool
    percent: float | None
    low: float | None
    high: float | None
    judged: Moment | None
    decisions: list[Decided]


def found_about(session: Session, hull_id: int, about: str, subject: str) -> Found | None:
    """What is found about a thing on a hull; None where nobody asked."""
    asked = store.asked_about(session, hull_id, about, subject)
    if asked is None or asked.id is None:
        return None
    name = title(session, asked)
    decided = [_decided(row, name) for row in store.decisions_of(session, [asked.id])]
    last = store.latest_results(session, [asked.id]).get(asked.id)
    if last is None:
        return Found(asked.id, "", False, None, None, None, None, decided)
    figures = (percent(last.ln), percent(last.low_ln), percent(last.high_ln))
    return Found(asked.id, last.verdict, last.confirmed, *figures, Moment.here(last.at), decided)
