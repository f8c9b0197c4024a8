"""What can still be changed for the next runs of a question: the ways in which they may differ."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import islice

from sqlmodel import Session

from garage.calc.effect.answer import Answer
from garage.calc.effect.runs import Question
from garage.calc.effect.sentences import side_words
from garage.errors import NotFound
from garage.findings.evidence.runs_store import HullRuns, edition_name
from garage.findings.tables import Finding
from garage.modifications.store import modification
from garage.props.store import latest_of, latest_rows_of

_MOST_LEVELS, _MOST_PROPS = 5, 3


@dataclass(frozen=True)
class Side:
    """One way to run: factors at these values, or one prop; `words` say it."""

    words: str
    factors: Mapping[str, float] = field(default_factory=dict)
    prop: str = ""


def sides_of(
    session: Session, asked: Finding, given: Answer, gathered: HullRuns, now: Mapping[str, float]
) -> dict[str, Side]:
    """The ways to run that can still be had, by a short key. Empty for a pack, which is chosen among the packs.

    What is glued on stays on, a prop that was reworked or retired does not come back. `now` is the boat as she is.
    """
    question = given.design.question
    words = side_words(question)
    if question.about == "prop":
        return {name: Side(f"prop {name}", prop=name) for name in _props(session, given, gathered)}
    if question.about == "states":
        both = {"earlier": (words.lacking, question.before), "later": (words.having, question.after)}
        glued = _glued(session, gathered, now)
        return {
            key: Side(text, factors)
            for key, (text, factors) in both.items()
            if not any(factors.get(name) == 0.0 for name in glued)
        }
    if question.about == "setting":
        values = sorted({run.factors[question.name] for run in given.design.runs if question.name in run.factors})
        if len(values) > _MOST_LEVELS:
            values = [values[0], values[len(values) // 2], values[-1]]
        return {f"{value:g}": Side(f"{question.name} {value:g}", {question.name: value}) for value in values}
    if question.about == "change":
        sides = {"with": Side(words.having, {question.name: 1.0}), "without": Side(words.lacking, {question.name: 0.0})}
        is_glued = modification(session, int(asked.subject)).permanence == "permanent" and now.get(question.name)
        return {"with": sides["with"]} if is_glued else sides
    return {}


def _glued(session: Session, gathered: HullRuns, now: Mapping[str, float]) -> set[str]:
    """Names of the modifications on the boat that do not come off."""
    found = set()
    for key, name in gathered.names.items():
        if key.startswith("modification:") and now.get(name):
            try:
                if modification(session, int(key.removeprefix("modification:"))).permanence == "permanent":
                    found.add(name)
            except NotFound:
                continue
    return found


def prop_now(session: Session, gathered: HullRuns) -> str:
    """The prop the next runs are made with, where it is not what is asked about: the one that ran last and is still as
    it was; what became of it, where it was reworked."""
    names = _recent_props(gathered)
    for name, ids in names.items():
        if _is_as_it_was(session, ids):
            return name
    return _grown(session, next(iter(names.values()))) if names else ""


def _props(session: Session, given: Answer, gathered: HullRuns) -> list[str]:
    question: Question = given.design.question
    names = {
        name: ids for name, ids in _recent_props(gathered).items() if name == question.name or name in question.against
    }
    own = names.pop(question.name, None)
    found = [question.name] if own and _is_as_it_was(session, own) else []
    # Lazily: those that ran longest ago are not looked up where enough others can be had.
    others = (name for name, ids in names.items() if _is_as_it_was(session, ids))
    return [*found, *islice(others, _MOST_PROPS - 1)]


def _recent_props(gathered: HullRuns) -> dict[str, list[int]]:
    """The props of the runs by name, the latest first, with the ids of their editions."""
    ids = {name: [int(each) for each in key.split("+")] for key, name in gathered.props.items() if key}
    latest = dict.fromkeys(run.prop for run in reversed(list(gathered.runs.values())) if run.prop in ids)
    return {name: ids[name] for name in latest}


def _is_as_it_was(session: Session, edition_ids: list[int]) -> bool:
    return not any(
        latest.id != edition_id or latest.condition == "unusable" or row.retired_on
        for edition_id, (row, latest) in latest_rows_of(session, edition_ids).items()
    )


def _grown(session: Session, edition_ids: list[int]) -> str:
    latest = latest_of(session, edition_ids)
    return " + ".join(edition_name(latest[edition_id]) for edition_id in edition_ids)
