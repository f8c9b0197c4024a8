"""What the ledger says of a run, in words for its page."""

from collections.abc import Callable, Iterable, Sequence

from sqlmodel import Session

from garage.corrections.sheets import Mended
from garage.hulls.store import hulls_by_ids
from garage.moments import Moment
from garage.packs.store import pack_texts
from garage.props.store import edition_texts
from garage.runs.form_data import PackUse, PropUse
from garage.runs.moves import Start, packs_of_text, props_of_text, start_of_text
from garage.runs.tables import RunMove
from garage.waters.outing_store import began, outings_by_id
from garage.waters.tables import Outing

# Build states are told apart (`sheets.PinRow`), and the number in the order of a day is nothing that a run rests on.
_WHAT = {"boat": "boat", "outing": "outing", "start": "start", "packs": "packs", "props": "prop"}


def moved_words(session: Session, moves: Iterable[RunMove]) -> list[Mended]:
    """What a run rested on before, in words; a blank that was filled is no correction."""
    told = [move for move in moves if move.what in _WHAT and not _was_blank(move)]
    names = _namers(session, told)
    found = []
    for move in told:
        what, old, new = _WHAT[move.what], names[move.what](move.from_value), names[move.what](move.to_value)
        if move.what == "start":
            what, old, new = _start_words(start_of_text(move.from_value), start_of_text(move.to_value))
        found.append(Mended(what, old, new, move.why, Moment.here(move.at), move.mending_id))
    return found


def _was_blank(move: RunMove) -> bool:
    if move.what == "start":
        return not start_of_text(move.from_value).known and move.mending_id is None
    return move.from_value in ("", "[]")


def _namers(session: Session, moves: Sequence[RunMove]) -> dict[str, Callable[[str], str]]:
    """How to name a value, by what was moved; what is named is asked for at once."""
    values: dict[str, list[str]] = {}
    for move in moves:
        values.setdefault(move.what, []).extend((move.from_value, move.to_value))
    hulls = hulls_by_ids(session, map(int, values["boat"])) if "boat" in values else {}
    days = outings_by_id(session, {int(one) for one in values["outing"]}) if "outing" in values else {}
    packs = {use.pack_id for one in values.get("packs", ()) for use in packs_of_text(one)}
    editions = {use.edition_id for one in values.get("props", ()) for use in props_of_text(one)}
    codes = {found.id: found.code for found in pack_texts(session, packs).values()} if packs else {}
    made = edition_texts(session, editions) if editions else {}
    return {
        "boat": lambda kept: hulls[int(kept)].name,
        "outing": lambda kept: _outing_words(days[int(kept)]),
        "start": lambda kept: kept,
        "packs": lambda kept: _pack_words(packs_of_text(kept), codes) or NOT_KNOWN,
        "props": lambda kept: (
            _prop_words(props_of_text(kept), {key: one.text for key, one in made.items()}) or NOT_KNOWN
        ),
    }


NOT_KNOWN = "not known"


def _start_words(old: Start, new: Start) -> tuple[str, str, str]:
    """What moved of a start: the day alone, the clock alone, or both."""
    if old.moment.date() == new.moment.date():
        return "start", _clock(old), _clock(new)
    if (old.known, old.moment.clock()) == (new.known, new.moment.clock()):
        return "day", old.moment.day(), new.moment.day()
    return "start", f"{old.moment.day()}, {_clock(old)}", f"{new.moment.day()}, {_clock(new)}"


def _clock(start: Start) -> str:
    return start.moment.clock() if start.known else "no clock"


def _outing_words(day: Outing) -> str:
    at = began(day)
    return f"that of {at.day()}, {at.clock()}"


def _pack_words(packs: Iterable[PackUse], codes: dict[int, str]) -> str:
    return " + ".join(codes[use.pack_id] + (f" ({use.wiring})" if use.wiring != "single" else "") for use in packs)


def _prop_words(props: Iterable[PropUse], names: dict[int, str]) -> str:
    return "; ".join((f"{use.place}: " if use.place != "single" else "") + names[use.edition_id] for use in props)
