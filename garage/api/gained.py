"""What one thing really gained on a hull, asked of the notebook without writing the question down."""

from typing import TypeVar

from sqlmodel import Session

from garage.api.rows import EffectRow
from garage.calc.effect.verdict import percent
from garage.errors import GarageError, NotFound
from garage.findings.judge import check_subject, judge, title
from garage.findings.store import asked_about
from garage.findings.tables import Finding
from garage.hulls.tables import Hull
from garage.modifications.store import modifications_of
from garage.packs.store import pack_by_code
from garage.props.store import edition_by_code
from garage.states.store import state_by_number
from garage.units import DisplayUnits

# No question has this number, so no runs were put in or out of it by hand.
_NOT_ASKED = 0
_ALL = 10_000
_Thing = TypeVar("_Thing")


def effect_row(session: Session, hull: Hull, units: DisplayUnits, about: str, subject: str) -> EffectRow:
    """The answer to one question about a hull. Raises NotFound where there is no such thing on her."""
    check_subject(session, hull.id, about, subject)
    asked = asked_about(session, hull.id, about, subject) or Finding(
        id=_NOT_ASKED, hull_id=hull.id, about=about, subject=subject, created_at=""
    )
    judged = judge(session, asked, units)
    given, name = judged.answer, title(session, asked)
    if given is None:
        return EffectRow(hull.name, about, name, "", None, None, None, None, None, 0, judged.why)
    low, high = (percent(end) for end in given.effect.interval_90)
    return EffectRow(
        hull.name, about, name, given.tangled_verdict, given.effect.percent, low, high, given.amount(given.effect.ln),
        given.effect.probability_gain, len(given.design.runs), "",
    )  # fmt: skip


def subject_of(
    session: Session,
    hull: Hull,
    *,
    modification: str | int | None,
    setting: str | None,
    prop: str | None,
    pack: str | None,
    states: tuple[int, int] | None,
) -> tuple[str, str]:
    """What is asked about, and the thing's own mark: exactly one of these is to be given. Raises GarageError."""
    given = {"change": modification, "setting": setting, "prop": prop, "pack": pack, "states": states}
    named = [about for about, value in given.items() if value is not None]
    if len(named) != 1:
        raise GarageError("Ask about one thing: a modification, a setting, a prop, a pack, or two build states.")
    if modification is not None:
        return "change", str(_modification(session, hull, modification))
    if setting is not None:
        return "setting", setting
    if prop is not None:
        return "prop", str(_found(edition_by_code(session, prop), f"There is no prop with the code “{prop}”.").id)
    if pack is not None:
        return "pack", str(_found(pack_by_code(session, pack), f"There is no pack with the code “{pack}”.").id)
    numbers = sorted(set(states or ()))
    if len(numbers) != 2:
        raise GarageError("Two different build states are needed.")
    return "states", ":".join(str(state_by_number(session, hull.id, number).id) for number in numbers)


def _modification(session: Session, hull: Hull, named: str | int) -> int:
    """The id of a modification of this hull, by its id or its title."""
    if isinstance(named, int):
        return named
    known, wanted = modifications_of(session, hull.id, limit=_ALL), named.casefold()
    fitting = [one.id for one in known if one.title.casefold() == wanted]
    if len(fitting) != 1:
        many = "Several modifications" if fitting else "No modification"
        raise NotFound(f"{many} of {hull.name} {'are' if fitting else 'is'} called “{named}”.")
    return fitting[0]


def _found(thing: _Thing | None, words: str) -> _Thing:
    if thing is None:
        raise NotFound(words)
    return thing
