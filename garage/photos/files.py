"""Files beside the database, named by the hash of what is in them: written once, never written over."""

import hashlib
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from garage.db import durable

ENDINGS = {
    "image/jpeg": "jpg",
    "image/png": "png",
    "image/webp": "webp",
    "audio/mp4": "m4a",
    "audio/ogg": "ogg",
    "audio/wav": "wav",
    "audio/flac": "flac",
    "audio/mpeg": "mp3",
    "audio/aac": "aac",
    "video/mp4": "mp4",
    "video/quicktime": "mov",
    "video/webm": "webm",
}


@dataclass(frozen=True)
class PartFile:
    """A file that is whole on the disk but has no name of its own yet."""

    path: Path
    sha256: str
    size_bytes: int


def stored_path(files_dir: Path, sha256: str, media_type: str) -> Path:
    """Where the file of that hash lies."""
    return files_dir / sha256[:2] / f"{sha256}.{ENDINGS[media_type]}"


def thumb_path(files_dir: Path, sha256: str) -> Path:
    """Where its thumbnail lies."""
    return files_dir / sha256[:2] / f"{sha256}.thumb.jpg"


def write_part(files_dir: Path, content: IO[bytes]) -> PartFile:
    """Write what is in an open file to the disk, without holding all of it in memory."""
    content.seek(0)
    digest, size = hashlib.sha256(), 0
    with tempfile.NamedTemporaryFile(dir=files_dir, suffix=".part", delete=False) as copy:
        try:
            while block := content.read(1 << 20):
                digest.update(block)
                size += len(block)
                copy.write(block)
            durable.flush_file(copy)
        except BaseException:
            Path(copy.name).unlink(missing_ok=True)
            raise
    return PartFile(Path(copy.name), digest.hexdigest(), size)


def give_name(part: PartFile, path: Path) -> None:
    """Put a whole file in its place; if that name is taken, the same bytes are there already and stay."""
    durable.give_name(part.path, path)
