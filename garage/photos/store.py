"""Queries and writes of attachments. A file is on the disk before its row is written."""

from datetime import datetime
from pathlib import Path
from typing import IO, Protocol

from sqlmodel import Session, col, select

from garage.db.things import OWNERS, Thing, recent_things, thing
from garage.errors import NotFound
from garage.moments import Moment
from garage.photos import files, media
from garage.photos.pictures import UnreadableFile, read_picture
from garage.photos.tables import Attachment

SHOWN_AT_ONCE = 60
SORTED_INTO = ("run", "outing", "step", "hull")
_FIRST_YEAR = 1990


class Upload(Protocol):
    """A file as a form hands it over."""

    @property
    def filename(self) -> str | None: ...

    @property
    def file(self) -> IO[bytes]: ...


def attachments(
    session: Session, owner: str, owner_id: int | None, *, limit: int = SHOWN_AT_ONCE, offset: int = 0
) -> list[Attachment]:
    """What is attached to a thing and not set aside, in order of time."""
    query = select(Attachment).where(
        Attachment.owner == owner, Attachment.owner_id == owner_id, col(Attachment.set_aside_at).is_(None)
    )
    return list(session.exec(query.order_by(Attachment.at, col(Attachment.id)).limit(limit).offset(offset)))


def unsorted(session: Session, *, limit: int = 50, offset: int = 0) -> list[Attachment]:
    """Notes made at the water that were not sorted yet, the oldest first."""
    return attachments(session, "", None, limit=limit, offset=offset)


def attachment(session: Session, attachment_id: int) -> Attachment:
    """One attachment. Raises NotFound."""
    found = session.get(Attachment, attachment_id)
    if found is None:
        raise NotFound("There is no such note or picture in this notebook.")
    return found


def owner_thing(session: Session, owner: str, owner_id: int | None) -> Thing:
    """What something is attached to. Raises NotFound."""
    if owner == "" or owner_id is None:
        return Thing("", 0, "notes to sort", "/attachments/unsorted")
    return thing(session, owner, owner_id)


def add_note(
    session: Session, owner: str, owner_id: int | None, text: str, at: Moment, *, now: Moment | None = None
) -> Attachment:
    """Attach a note. Raises NotFound if there is nothing to attach it to."""
    return _add(session, Attachment(kind="note", text=text, **_common(session, owner, owner_id, at, now)))


def add_link(
    session: Session,
    owner: str,
    owner_id: int | None,
    url: str,
    text: str,
    at: Moment,
    *,
    now: Moment | None = None,
) -> Attachment:
    """Attach a link; nothing is fetched from it. Raises NotFound if there is nothing to attach it to."""
    return _add(session, Attachment(kind="link", url=url, text=text, **_common(session, owner, owner_id, at, now)))


def add_photo(
    session: Session,
    files_dir: Path,
    owner: str,
    owner_id: int | None,
    upload: Upload,
    at: Moment | None,
    caption: str = "",
    *,
    now: Moment | None = None,
) -> Attachment:
    """Attach a picture. Without `at` it has the camera's own time, or `now`. Raises UnreadableFile in words, with
    nothing stored, if this is no picture; NotFound if there is nothing to attach it to."""
    picture = read_picture(upload.file, _name(upload))
    when = at or _camera_moment(picture.taken, now) or now
    if when is None:
        raise ValueError("a picture needs a time")
    common = _common(session, owner, owner_id, when, now)
    sha256 = files.keep_bytes(files_dir, picture.content, picture.media_type)
    files.keep_thumb(files_dir, sha256, picture.thumb)
    row = Attachment(
        kind="photo",
        text=caption,
        sha256=sha256,
        media_type=picture.media_type,
        width_px=picture.width_px,
        height_px=picture.height_px,
        size_bytes=len(picture.content),
        **common,
    )
    return _add(session, row)


def add_file(
    session: Session,
    files_dir: Path,
    owner: str,
    owner_id: int | None,
    upload: Upload,
    at: Moment | None,
    caption: str,
    now: Moment,
) -> Attachment:
    """Attach a picture, a sound or a video, whichever the content is. Raises as `add_photo` does."""
    upload.file.seek(0)
    head = upload.file.read(64)
    kind = media.media_type(head)
    if not kind:
        upload.file.seek(0)
        if media.is_still_of_newer_kind(head):
            raise UnreadableFile(
                f"{_name(upload)} is in a format that browsers do not show. Let the phone save pictures as JPEG."
            )
        return add_photo(session, files_dir, owner, owner_id, upload, at, caption, now=now)
    if kind in ("video/mp4", "video/quicktime", "audio/mp4"):
        try:
            media.blank_place(upload.file)
        except ValueError as error:
            raise UnreadableFile(f"{_name(upload)} is damaged or cut short; it was not kept.") from error
    common = _common(session, owner, owner_id, at or now, now)
    sha256, size = files.keep_open_file(files_dir, upload.file, kind)
    word = "sound" if kind.startswith("audio/") else "video"
    return _add(
        session,
        Attachment(kind=word, text=caption, sha256=sha256, media_type=kind, size_bytes=size, **common),
    )


def change(session: Session, attachment_id: int, text: str, at: Moment | None) -> Attachment:
    """Write a caption or note anew, and its time if one is given. Raises NotFound."""
    kept = attachment(session, attachment_id)
    kept.text = text
    if at is not None:
        kept.at, kept.offset_min = at.utc, at.offset_min
    session.add(kept)
    return kept


def move(session: Session, attachment_id: int, owner: str, owner_id: int | None) -> Attachment:
    """Attach it to something else; '' and None put it back among the notes to sort. Raises NotFound."""
    kept = attachment(session, attachment_id)
    owner_thing(session, owner, owner_id)
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


def recent_owners(session: Session, each: int = 20) -> list[Thing]:
    """What a note from the water most likely belongs to: the runs, outings, steps and hulls written last."""
    return [found for owner in SORTED_INTO for found in recent_things(session, owner, each)]


def _common(
    session: Session, owner: str, owner_id: int | None, at: Moment, now: Moment | None
) -> dict[str, str | int | None]:
    if owner and owner not in OWNERS:
        raise NotFound("There is no such kind of thing in this notebook.")
    owner_thing(session, owner, owner_id)
    written = (now or at).utc
    return {"owner": owner, "owner_id": owner_id, "at": at.utc, "offset_min": at.offset_min, "created_at": written}


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


def _name(upload: Upload) -> str:
    name = "".join(sign for sign in (upload.filename or "") if sign.isprintable())
    return f"“{name[:60]}”" if name else "The file"
