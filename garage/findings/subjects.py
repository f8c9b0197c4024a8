"""What questions are about, read at once for any number of them: names in a few words, and states to set apart."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TypeVar

from sqlmodel import Session

from garage.errors import NotFound
from garage.findings.evidence.factor import factors_of, setting_name
from garage.findings.tables import Finding
from garage.modifications.store import modifications_by_ids
from garage.modifications.tables import Modification
from garage.packs.store import PackText, pack_texts
from garage.props.store import EditionText, edition_texts
from garage.states.mending_store import mended_contents
from garage.states.query_store import states_by_ids
from garage.states.tables import BuildState

_Thing = TypeVar("_Thing")


@dataclass(frozen=True)
class Subject:
    """A question with the name of what it is about, and for two build states what was on the boat in each."""

    asked: Finding
    title: str
    sides: tuple[Mapping[str, float], ...] = ()


@dataclass(frozen=True)
class _Things:
    """Everything that some questions are about, by id."""

    modifications: Mapping[int, Modification]
    packs: Mapping[int, PackText]
    editions: Mapping[int, EditionText]
    states: Mapping[int, BuildState]


def titles(session: Session, asked: Sequence[Finding]) -> list[str]:
    """What some questions are about, each in a few words. Raises NotFound."""
    things = _things(session, asked)
    return [_title(one, things) for one in asked]


def title(session: Session, asked: Finding) -> str:
    """What one question is about. Raises NotFound."""
    return titles(session, [asked])[0]


def subjects(
    session: Session, asked: Sequence[Finding], known: Mapping[tuple[str, str], str] = MappingProxyType({})
) -> list[Subject]:
    """What some questions are about, with all it takes to answer them; `known` are titles that were read, by what they
    are about and the subject. Raises NotFound."""
    things = _things(session, [one for one in asked if (one.about, one.subject) not in known])
    contents = mended_contents(session, list(things.states.values())) if things.states else {}
    sides = {state_id: factors_of(content) for state_id, content in contents.items()}
    return [
        Subject(
            one,
            known.get((one.about, one.subject)) or _title(one, things),
            tuple(sides[each] for each in _ids(one)) if one.about == "states" else (),
        )
        for one in asked
    ]


def two_states(session: Session, asked: Finding) -> list[BuildState]:
    """The two build states of a question. Raises NotFound."""
    found = states_by_ids(session, _ids(asked))
    return [_there(found, each, "build state") for each in _ids(asked)]


def _things(session: Session, asked: Sequence[Finding]) -> _Things:
    ids: dict[str, set[int]] = defaultdict(set)
    for one in asked:
        ids[one.about] |= set(_ids(one))
    return _Things(
        modifications_by_ids(session, ids["change"]) if ids["change"] else {},
        pack_texts(session, ids["pack"]) if ids["pack"] else {},
        edition_texts(session, ids["prop"]) if ids["prop"] else {},
        states_by_ids(session, ids["states"]) if ids["states"] else {},
    )


def _ids(asked: Finding) -> list[int]:
    if asked.about == "setting":
        return []
    return [int(text) for text in asked.subject.replace("+", ":").split(":")]


def _title(asked: Finding, things: _Things) -> str:
    if asked.about == "setting":
        return setting_name(asked.subject)
    if asked.about == "change":
        return _there(things.modifications, int(asked.subject), "modification").title
    if asked.about == "pack":
        return things.packs[int(asked.subject)].code
    if asked.about == "prop":
        return " + ".join(f"{text.code} ed. {text.number}" for text in (things.editions[each] for each in _ids(asked)))
    first, second = (_there(things.states, each, "build state") for each in _ids(asked))
    return f"state {second.number} over state {first.number}"


def _there(found: Mapping[int, _Thing], thing_id: int, word: str) -> _Thing:
    if thing_id not in found:
        raise NotFound(f"There is no such {word} in this notebook.")
    return found[thing_id]
