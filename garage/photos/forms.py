"""Text to something attached, or messages beside the fields."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

from garage.moments import Moment
from garage.photos.intake import Taken, Upload, take_in_all
from garage.photos.pictures import UnreadableFile
from garage.web.fields import Reader


@dataclass(frozen=True)
class AttachFormData:
    """What is to be attached: files with a caption, or a link with a word, or a note. No `at` means now."""

    text: str
    url: str
    at: Moment | None
    role: str = ""
    files: list[Taken] = field(default_factory=list)


def read_attach(reader: Reader, uploads: Sequence[Upload], files_dir: Path) -> AttachFormData:
    """What was typed and chosen; its files are on the disk then. Raises FormErrors, nothing left then."""
    text, at = reader.long_text("attach_text"), reader.moment("attach_at")
    url = _url(reader)
    role = _role(reader)
    if role and text and not url and not uploads:
        reader.fail("attach_receipt", "A receipt is a picture or a link.")
    if not text and not url and not uploads and not reader.errors:
        reader.fail("attach_text", "Write a note, choose a file or give a link.")
    reader.finish()
    try:
        taken = take_in_all(files_dir, uploads)
    except UnreadableFile as refused:
        reader.fail("attach_files", str(refused))
        reader.finish()
        raise
    return AttachFormData(text, url, at, role, taken)


def read_caption(reader: Reader, kind: str, shown_at: Moment) -> tuple[str, Moment | None, str]:
    """A caption or note written anew, its time if that was changed from `shown_at`, and whether it is a receipt. Raises
    FormErrors."""
    text = reader.long_text("attach_text", required=kind == "note")
    at = reader.moment("attach_at", was=shown_at)
    reader.finish()
    return text, None if at == shown_at else at, _role(reader)


def read_new_owner(reader: Reader) -> tuple[str, int]:
    """What a note is to belong to, such as `run:42`. Raises FormErrors."""
    owner, _, number = reader.text("belongs_to", required=True, most=40).partition(":")
    if "belongs_to" not in reader.errors and not (number.isascii() and number.isdigit() and len(number) < 16):
        reader.fail("belongs_to", "Choose one from the list.")
    reader.finish()
    return owner, int(number)


def _role(reader: Reader) -> str:
    return "receipt" if reader.flag("attach_receipt") else ""


def _url(reader: Reader) -> str:
    written = reader.text("attach_url", most=1000)
    if not written:
        return ""
    try:
        parts = urlsplit(written)
        good = parts.scheme.lower() in ("http", "https") and bool(parts.hostname) and " " not in written
    except ValueError:
        good = False
    if not good:
        reader.fail("attach_url", "A link begins with http:// or https:// and names a site.")
        return ""
    return written
