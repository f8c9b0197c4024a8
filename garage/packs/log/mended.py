"""What lines of a pack's log and its readings said before they were put right."""

from collections.abc import Iterable, Mapping

from sqlmodel import Session

from garage.corrections.store import corrections_of
from garage.corrections.tables import Correction
from garage.fields.showing import by_column
from garage.moments import Moment, day_text
from garage.packs.fields import ENTRIES, LOG_FIELDS, READING_FIELDS
from garage.packs.store import PackText, pack_texts

_LABELS = {**by_column(READING_FIELDS), **by_column(LOG_FIELDS)}


def said_before(session: Session, owner: str, ids: Iterable[int]) -> dict[int, list[str]]:
    """What each of some lines (`owner` is pack_log or reading) said before, in words; those never put right are left
    out."""
    found = corrections_of(session, owner, ids)
    packs = {int(one.old) for rows in found.values() for one in rows if one.field == "pack_id"}
    named = pack_texts(session, packs) if packs else {}
    return {line_id: [_words(one, named) for one in rows] for line_id, rows in found.items()}


def _words(mended: Correction, packs: Mapping[int, PackText]) -> str:
    """`Put right on 9 May 2026: stood as of pack K (wrong letter).`"""
    why = f" ({mended.why})" if mended.why else ""
    return f"Put right on {day_text(mended.at[:10])}: {_stood(mended, packs)}{why}."


def _stood(mended: Correction, packs: Mapping[int, PackText]) -> str:
    if mended.field == "pack_id":
        return f"it stood in the log of pack {packs[int(mended.old)].code}"
    if mended.field == "at":
        stood = Moment.here(mended.old)
        return f"it stood at {stood.day()}, {stood.clock()}"
    label = _LABELS[mended.field].in_sentence if mended.field in _LABELS else mended.field
    return f"{label} was “{dict(ENTRIES).get(mended.old, mended.old) or 'open'}”"
