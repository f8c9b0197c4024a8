"""Queries and writes of attachments. A file is on the disk before its row is written."""

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from sqlalchemy import ColumnElement, case, or_
from sqlmodel import Session, col, select

from garage.errors import NotFound
from garage.moments import Moment
from garage.photos.forms import AttachFormData
from garage.photos.intake import Taken, Upload, take_in_picture
from garage.photos.tables import Attachment
from garage.things import Thing, Things

SHOWN_AT_ONCE = 60
SORTED_INTO = ("run", "outing", "step", "hull")
_FIRST_YEAR = 1990


# What a note from the water belongs to until it is sorted.
TO_SORT = Thing("", 0, "notes to sort", "/attachments/unsorted")


def attachments(
    session: Session, owner: str, owner_id: int | None, *, limit: int = SHOWN_AT_ONCE, offset: int = 0
) -> list[Attachment]:
    """What is attached to a thing and not set aside, in order of time."""
    query = select(Attachment).where(
        Attachment.owner == owner, Attachment.owner_id == owner_id, col(Attachment.set_aside_at).is_(None)
    )
    return list(session.exec(query.order_by(Attachment.at, col(Attachment.id)).limit(limit).offset(offset)))


def photos_of(session: Session, owners: Sequence[tuple[str, int]], *, limit: int) -> list[Attachment]:
    """The pictures attached to some things, in the order of these, then of time."""
    place = case(*((_is_of(*one), order) for order, one in enumerate(owners)))
    query = select(Attachment).where(
        or_(*(_is_of(*one) for one in owners)), Attachment.kind == "photo", col(Attachment.set_aside_at).is_(None)
    )
    return list(session.exec(query.order_by(place, Attachment.at, col(Attachment.id)).limit(limit)))


def _is_of(owner: str, owner_id: int) -> ColumnElement[bool]:
    return (col(Attachment.owner) == owner) & (col(Attachment.owner_id) == owner_id)


def receipts(session: Session, owner: str, owner_id: int, shown: Sequence[Attachment]) -> list[Attachment]:
    """The receipts of a thing; `shown` is the beginning of all that is attached to it, which is asked no further where
    it is all."""
    if len(shown) < SHOWN_AT_ONCE:
        return [row for row in shown if row.role == "receipt"]
    query = select(Attachment).where(
        Attachment.owner == owner,
        Attachment.owner_id == owner_id,
        Attachment.role == "receipt",
        col(Attachment.set_aside_at).is_(None),
    )
    return list(session.exec(query.order_by(Attachment.at, col(Attachment.id))))


def unsorted(session: Session, *, limit: int = 50, offset: int = 0) -> list[Attachment]:
    """Notes made at the water that were not sorted yet, the oldest first."""
    return attachments(session, "", None, limit=limit, offset=offset)


def attachment(session: Session, attachment_id: int) -> Attachment:
    """One attachment. Raises NotFound."""
    found = session.get(Attachment, attachment_id)
    if found is None:
        raise NotFound("There is no such note or picture in this notebook.")
    return found


def owner_thing(session: Session, things: Things, owner: str, owner_id: int | None) -> Thing:
    """What something is attached to. Raises NotFound."""
    if owner == "" or owner_id is None:
        return TO_SORT
    return things.thing(session, owner, owner_id)


def add_note(session: Session, of: Thing, text: str, at: Moment, *, now: Moment | None = None) -> Attachment:
    """Attach a note."""
    return _add(session, Attachment(kind="note", text=text, **_common(of, at, now)))


def add_link(
    session: Session,
    of: Thing,
    url: str,
    text: str,
    at: Moment,
    *,
    now: Moment | None = None,
    role: str = "",
) -> Attachment:
    """Attach a link; nothing is fetched from it."""
    return _add(session, Attachment(kind="link", url=url, text=text, role=role, **_common(of, at, now)))


def add_photo(
    session: Session,
    files_dir: Path,
    of: Thing,
    upload: Upload,
    at: Moment,
    caption: str = "",
    role: str = "",
) -> Attachment:
    """Attach a picture. Raises UnreadableFile in words, with nothing stored, if it is none."""
    taken = take_in_picture(files_dir, upload)
    return add_taken(session, files_dir, of, taken, caption, at, now=at, role=role)


def add_taken(
    session: Session,
    files_dir: Path,
    of: Thing,
    taken: Taken,
    caption: str,
    at: Moment | None,
    *,
    now: Moment,
    role: str = "",
) -> Attachment:
    """Attach a file taken in before. Without `at` it has the camera's own time, or `now`."""
    try:
        common = _common(of, at or _camera_moment(taken.taken, now) or now, now)
        taken.keep(files_dir)
    finally:
        taken.discard()
    row = Attachment(
        kind=taken.kind,
        text=caption,
        sha256=taken.part.sha256,
        media_type=taken.media_type,
        width_px=taken.width_px,
        height_px=taken.height_px,
        size_bytes=taken.part.size_bytes,
        role=role,
        **common,
    )
    return _add(session, row)


def attach(session: Session, files_dir: Path, of: Thing, form: AttachFormData, now: Moment) -> int:
    """Attach all that a form held; how many that were."""
    for position, taken in enumerate(form.files):
        try:
            add_taken(session, files_dir, of, taken, form.text, form.at, now=now, role=form.role)
        except BaseException:
            for later in form.files[position:]:
                later.discard()
            raise
    when = form.at or now
    if form.url:
        add_link(session, of, form.url, form.text, when, now=now, role=form.role)
    elif form.text and not form.files:
        add_note(session, of, form.text, when, now=now)
    return len(form.files) + bool(form.url) + bool(form.text and not form.files and not form.url)


def change(session: Session, attachment_id: int, text: str, at: Moment | None, role: str = "") -> Attachment:
    """Write a caption or note anew, whether it is a receipt, and its time if one is given. Raises NotFound."""
    kept = attachment(session, attachment_id)
    kept.text, kept.role = text, role if kept.kind != "note" else ""
    if at is not None:
        kept.at, kept.offset_min = at.utc, at.offset_min
    session.add(kept)
    return kept


def move(session: Session, attachment_id: int, owner: str, owner_id: int | None) -> Attachment:
    """Attach it to something else; '' and None put it back among the notes to sort. Raises NotFound."""
    kept = attachment(session, attachment_id)
    kept.owner, kept.owner_id = owner, owner_id
    session.add(kept)
    return kept


def set_aside(session: Session, attachment_id: int, at: str | None) -> Attachment:
    """Take it off its page, or bring it back with `at` None. Its file stays. Raises NotFound."""
    kept = attachment(session, attachment_id)
    kept.set_aside_at = at
    session.add(kept)
    return kept


def stored_media_type(session: Session, sha256: str) -> str:
    """What kind of file lies under that hash. Raises NotFound."""
    found = session.exec(select(Attachment.media_type).where(Attachment.sha256 == sha256).limit(1)).first()
    if not found:
        raise NotFound("There is no such file in this notebook.")
    return found


def recent_owners(session: Session, things: Things, each: int = 20) -> list[Thing]:
    """What a note from the water most likely belongs to: the runs, outings, steps and hulls written last."""
    return [found for owner in SORTED_INTO for found in things.recent(session, owner, each)]


def _common(of: Thing, at: Moment, now: Moment | None) -> dict[str, Any]:
    """What every row says: what it belongs to was looked up before, so there is such a thing."""
    written = (now or at).utc
    return {
        "owner": of.owner,
        "owner_id": of.id if of.owner else None,
        "at": at.utc,
        "offset_min": at.offset_min,
        "created_at": written,
    }


def _add(session: Session, new: Attachment) -> Attachment:
    session.add(new)
    session.flush()
    return new


def _camera_moment(taken: datetime | None, now: Moment | None) -> Moment | None:
    """The camera's time, unless its clock was plainly never set."""
    if taken is None or taken.year < _FIRST_YEAR:
        return None
    moment = Moment.of(taken)
    return moment if now is None or moment.utc <= now.utc else None
