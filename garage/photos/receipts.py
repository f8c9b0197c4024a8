"""Receipts that come with the form of what a thing cost."""

from collections.abc import Sequence
from pathlib import Path

from sqlmodel import Session

from garage.moments import Moment
from garage.photos.intake import Upload, take_in_picture
from garage.photos.pictures import UnreadableFile
from garage.photos.store import add_taken
from garage.things import Thing
from garage.web.fields import Reader

# What the form calls them.
FIELD = "receipt_files"


def attach_receipts(
    session: Session, files_dir: Path, of: Thing, reader: Reader, uploads: Sequence[Upload], now: Moment
) -> None:
    """Attach pictures as receipts of a thing. Raises FormErrors at the first that is none."""
    for upload in uploads:
        try:
            taken = take_in_picture(files_dir, upload)
        except UnreadableFile as refused:
            reader.fail(FIELD, str(refused))
            reader.finish()
            raise
        add_taken(session, files_dir, of, taken, "", None, now=now, role="receipt")
