"""A question about a hull, answered from its runs."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlmodel import Session

from garage.calc.effect.answer import Answer, Brief, several
from garage.calc.effect.design import NothingToCompare
from garage.calc.effect.priors import Priors
from garage.calc.effect.runs import EffectRun, Factor, Question
from garage.errors import NotFound
from garage.findings import store
from garage.findings.evidence.causes import causes_of, with_causes
from garage.findings.evidence.factor import factor
from garage.findings.evidence.outcomes import OUTCOMES, Outcome, stretched
from garage.findings.evidence.pack_readings import priors_from_readings
from garage.findings.evidence.runs_store import FactsOf, HullRuns, only_closed, read_runs
from garage.findings.remembered import answer_to
from garage.findings.subjects import Subject, subjects, title, two_states
from garage.findings.tables import Finding
from garage.hulls.store import hull
from garage.modifications.store import modification
from garage.runs.lines.store import line_facts
from garage.states.fold import split_place
from garage.states.settings_list import setting_of
from garage.states.tables import PLACES
from garage.units import DisplayUnits


@dataclass(frozen=True)
class Judged:
    """The answer from closed outings, or why there is none. `with_open` is the half-width of the interval, in log
    points, once the runs of outings that are open still count; None where there are none. `title` is what the
    question is about."""

    outcome: Outcome
    answer: Answer | None
    why: str
    gathered: HullRuns
    with_open: float | None
    title: str


def judge(
    session: Session,
    asked: Finding,
    units: DisplayUnits,
    outcome: Outcome = OUTCOMES["speed"],
    facts_of: FactsOf = line_facts,
) -> Judged:
    """Answer one question from runs of which `facts_of` reads what is known. Nothing is stored."""
    [subject] = subjects(session, [asked])
    causes = causes_of(asked)
    read = read_runs(session, asked.hull_id, outcome, facts_of)
    gathered = read.chosen(units, store.run_choices(session, asked.id), causes)
    priors = stretched(priors_for(session, only_closed(gathered), store.assumptions(session)), outcome.spread)
    priors = with_causes(priors, causes, gathered.names, outcome.spread)
    given, why = answered(subject, only_closed(gathered), priors)
    with_open = None
    if gathered.open_ids:
        now, _ = answered(subject, gathered, priors)
        with_open = None if now is None else (now.effect.interval_90[1] - now.effect.interval_90[0]) / 2
    return Judged(outcome, given, why, gathered, with_open, subject.title)


def priors_for(session: Session, gathered: HullRuns, kept: tuple[Priors, bool]) -> Priors:
    """What is assumed for these runs by the assumptions `kept`, with what the readings of their packs say where the
    person wants it so."""
    usual, by_readings = kept
    return priors_from_readings(session, gathered, usual) if by_readings else usual


def answered(subject: Subject, gathered: HullRuns, priors: Priors) -> tuple[Answer | None, str]:
    """The answer from these runs, or why there is none."""
    runs = list(gathered.runs.values())
    try:
        return answer_to(runs, varying(gathered), question(subject, gathered), priors), ""
    except NothingToCompare as error:
        return None, str(error)


def briefs_of(asked: Sequence[Subject], gathered: HullRuns, priors: Priors) -> list[Brief | None]:
    """Short answers to several questions about one hull; None where its runs cannot speak."""
    questions: list[Question] = []
    for each in asked:
        try:
            questions.append(question(each, gathered))
        except NothingToCompare:
            # A question without sides is answered with nothing further down.
            questions.append(Question("prop", ""))
    return several(list(gathered.runs.values()), varying(gathered), questions, priors)


def titles_in(gathered: HullRuns) -> dict[tuple[str, str], str]:
    """What the gathered runs name themselves, as titles of questions: by what they are about and the subject."""
    kind = "modification:"
    fitted = {key.removeprefix(kind): name for key, name in gathered.names.items() if key.startswith(kind)}
    packs = {str(pack_id): code for pack_id, code in gathered.packs.items()}
    titles = {"change": fitted, "pack": packs, "prop": gathered.props}
    return {(about, subject): title for about, named in titles.items() for subject, title in named.items()}


def varying(gathered: HullRuns) -> list[Factor]:
    """Every modification, part, setting and cause of a person's own in which the runs differ."""
    runs = gathered.runs.values()
    return [
        factor(key, name)
        for key, name in gathered.names.items()
        if len({run.factors.get(name) for run in runs}) > 1 and _tells(key, name, runs)
    ]


def _tells(key: str, name: str, runs) -> bool:
    if not key.startswith(("setting:", "own:")):
        return True
    return len({run.factors[name] for run in runs if name in run.factors}) > 1


def question(subject: Subject, gathered: HullRuns) -> Question:
    """The question in the names of the gathered runs. NothingToCompare where the runs know nothing of it."""
    runs, asked = gathered.runs.values(), subject.asked
    if asked.about == "prop":
        name = gathered.props.get(asked.subject, "")
        return Question("prop", name or subject.title, against=_others(name, [run.prop for run in runs]))
    if asked.about == "pack":
        name = gathered.packs.get(int(asked.subject), "") or subject.title
        return Question("pack", name, against=_others(name, [use.pack for run in runs for use in run.packs]))
    if asked.about == "states":
        return _states(subject, gathered)
    kind = "modification" if asked.about == "change" else "setting"
    return Question(asked.about, gathered.names.get(f"{kind}:{asked.subject}") or subject.title)


def _others(name: str, listed: list[str]) -> tuple[str, ...]:
    return tuple(sorted({each for each in listed if each and each != name}))


def _states(subject: Subject, gathered: HullRuns) -> Question:
    sides = subject.sides
    known = {factor.name: factor for factor in varying(gathered)}
    differing = {key for side in sides for key in side if sides[0].get(key) != sides[1].get(key)}
    names = {key: gathered.names[key] for key in differing if gathered.names.get(key) in known}
    if not names:
        raise NothingToCompare("These runs do not differ in what sets the two build states apart.")
    # A setting that one of the two does not know says nothing.
    kept = {
        key: name for key, name in names.items() if not known[name].is_setting or all(key in side for side in sides)
    }
    before, after = ({name: side.get(key, 0.0) for key, name in kept.items()} for side in sides)
    if not kept:
        raise NothingToCompare("What sets the two build states apart is not known in numbers on both.")
    return Question("states", subject.title, before=before, after=after)


def check_subject(session: Session, hull_id: int, about: str, subject: str) -> None:
    """NotFound when there is no such thing on this hull, or the subject is no subject."""
    try:
        hull(session, hull_id)
        asked = Finding(hull_id=hull_id, about=about, subject=subject, created_at="")
        if about == "setting" and not _is_setting(subject):
            raise NotFound("There is no such setting.")
        if about in ("states", "prop") and len(set(parts := re.split("[:+]", subject))) < len(parts):
            raise NotFound("The same thing cannot be asked about twice in one question.")
        if about == "change" and modification(session, int(subject)).hull_id != hull_id:
            raise NotFound("That modification belongs to another hull.")
        if about == "states" and {found.hull_id for found in two_states(session, asked)} != {hull_id}:
            raise NotFound("Those build states belong to another hull.")
        title(session, asked)
    except (ValueError, KeyError) as error:
        raise NotFound("There is no such thing to ask about.") from error


def _is_setting(subject: str) -> bool:
    name, place = split_place(subject)
    setting = setting_of(name)
    return setting is not None and setting.is_number and place in PLACES


def used(runs: Mapping[int, EffectRun]) -> list[int]:
    """The ids of the runs, for keeping beside a decision."""
    return sorted(runs)
