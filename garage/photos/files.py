"""Files beside the database, named by the hash of what is in them: written once, never written over."""

import hashlib
import os
import re
import tempfile
from pathlib import Path
from typing import IO

_NAME = re.compile(r"[0-9a-f]{64}")
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


def is_name(text: str) -> bool:
    """Whether `text` can be the name of a stored file."""
    return _NAME.fullmatch(text) is not None


def stored_path(files_dir: Path, sha256: str, media_type: str) -> Path:
    """Where the file of that hash lies."""
    return files_dir / sha256[:2] / f"{sha256}.{ENDINGS[media_type]}"


def thumb_path(files_dir: Path, sha256: str) -> Path:
    """Where its thumbnail lies."""
    return files_dir / sha256[:2] / f"{sha256}.thumb.jpg"


def keep_bytes(files_dir: Path, content: bytes, media_type: str) -> str:
    """Store `content`; its hash."""
    sha256 = hashlib.sha256(content).hexdigest()
    _keep(stored_path(files_dir, sha256, media_type), content)
    return sha256


def keep_thumb(files_dir: Path, sha256: str, content: bytes) -> None:
    """Store the thumbnail of the file of that hash."""
    _keep(thumb_path(files_dir, sha256), content)


def keep_open_file(files_dir: Path, file: IO[bytes], media_type: str) -> tuple[str, int]:
    """Store what is in an open file, without holding all of it in memory; its hash and size in bytes."""
    file.seek(0)
    digest, size = hashlib.sha256(), 0
    with tempfile.NamedTemporaryFile(dir=files_dir, suffix=".part", delete=False) as copy:
        part = Path(copy.name)
        try:
            while block := file.read(1 << 20):
                digest.update(block)
                size += len(block)
                copy.write(block)
            _to_disk(copy)
            sha256 = digest.hexdigest()
            _put(part, stored_path(files_dir, sha256, media_type))
        finally:
            part.unlink(missing_ok=True)
    return sha256, size


def _keep(path: Path, content: bytes) -> None:
    if path.exists():
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.NamedTemporaryFile(dir=path.parent, suffix=".part", delete=False) as copy:
        part = Path(copy.name)
        try:
            copy.write(content)
            _to_disk(copy)
            _put(part, path)
        finally:
            part.unlink(missing_ok=True)


def _to_disk(file) -> None:
    file.flush()
    os.fsync(file.fileno())


def _put(part: Path, path: Path) -> None:
    """Give a finished file its name, unless that name is taken: then the same bytes are there already."""
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        os.link(part, path)
    except FileExistsError:
        return
    except OSError:
        # Some memory cards and network drives know no links.
        if path.exists():
            return
        part.rename(path)
    os.chmod(path, 0o644)
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
