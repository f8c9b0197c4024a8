"""Files that come in with a form: each looked at, cleaned and on the disk before a single row is written."""

import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import IO, Protocol

from garage.photos import files, media
from garage.photos.files import PartFile
from garage.photos.pictures import UnreadableFile, read_picture


class Upload(Protocol):
    """A file as a form hands it over."""

    @property
    def filename(self) -> str | None: ...

    @property
    def file(self) -> IO[bytes]: ...


@dataclass(frozen=True)
class Taken:
    """One file taken in, not yet under its name; `thumb` for pictures only."""

    kind: str
    media_type: str
    part: PartFile
    thumb: PartFile | None = None
    width_px: int | None = None
    height_px: int | None = None
    taken: datetime | None = None

    def keep(self, files_dir: Path) -> None:
        """Give file and thumbnail their names."""
        files.give_name(self.part, files.stored_path(files_dir, self.part.sha256, self.media_type))
        if self.thumb is not None:
            files.give_name(self.thumb, files.thumb_path(files_dir, self.part.sha256))

    def discard(self) -> None:
        """Leave nothing behind."""
        for part in (self.part, self.thumb):
            if part is not None:
                part.path.unlink(missing_ok=True)


def take_in_all(files_dir: Path, uploads: Sequence[Upload]) -> list[Taken]:
    """Every file of a form, or none of them: UnreadableFile in words at the first that cannot be kept."""
    taken: list[Taken] = []
    try:
        for upload in uploads:
            taken.append(take_in(files_dir, upload))
    except BaseException:
        for earlier in taken:
            earlier.discard()
        raise
    return taken


def take_in(files_dir: Path, upload: Upload) -> Taken:
    """One picture, sound or video, by its content. Raises UnreadableFile in words, nothing left then."""
    upload.file.seek(0)
    head = upload.file.read(64)
    if not head:
        raise UnreadableFile(f"{_name(upload)} is empty.")
    kind = media.media_type(head)
    if kind:
        return _take_in_media(files_dir, upload, kind)
    if media.is_still_of_newer_kind(head):
        raise UnreadableFile(
            f"{_name(upload)} is in a format that browsers do not show. Let the phone save pictures as JPEG."
        )
    return take_in_picture(files_dir, upload)


def take_in_picture(files_dir: Path, upload: Upload) -> Taken:
    """One picture. Raises UnreadableFile in words if it is none."""
    picture = read_picture(upload.file, _name(upload))
    part = files.write_part(files_dir, io.BytesIO(picture.content))
    thumb = files.write_part(files_dir, io.BytesIO(picture.thumb))
    return Taken("photo", picture.media_type, part, thumb, picture.width_px, picture.height_px, picture.taken)


def _take_in_media(files_dir: Path, upload: Upload, kind: str) -> Taken:
    if kind in media.IN_BOXES:
        try:
            media.blank_place(upload.file)
        except ValueError as error:
            raise UnreadableFile(f"{_name(upload)} is damaged or cut short; it was not kept.") from error
    word = "sound" if kind.startswith("audio/") else "video"
    return Taken(word, kind, files.write_part(files_dir, upload.file))


def _name(upload: Upload) -> str:
    name = "".join(sign for sign in (upload.filename or "") if sign.isprintable())
    return f"“{name[:60]}”" if name else "The file"
