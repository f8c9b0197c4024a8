"""What a backup is made of: one zip file with the notebook's file, the files beside it, and a list of both.

manifest.json    format, version, when, from which revision of the schema, and each entry's size and SHA-256
garage.sqlite
files/ab/abcd….jpg
"""

import hashlib
import json
import re
import zipfile
import zlib
from collections.abc import Iterable
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import IO, Any

from garage.errors import UnusableData
from garage.paths import DATABASE_NAME

FORMAT = "garage notebook backup"
VERSION = 1
# What reading a zip entry, or JSON in it, raises when it is damaged, locked with a password or made to do harm.
DAMAGED = (
    KeyError, ValueError, TypeError, AttributeError, EOFError, NotImplementedError, RuntimeError, zlib.error,
    zipfile.BadZipFile,
)  # fmt: skip
MANIFEST_NAME = "manifest.json"
_MOST_MANIFEST_BYTES = 200_000_000
_ENTRY_NAME = re.compile(r"files/[0-9a-f]{2}/[0-9a-f]{64}\.(thumb\.)?[a-z0-9]{1,8}")
_BLOCK = 1 << 20


@dataclass(frozen=True)
class Entry:
    """One file in the backup."""

    name: str
    size_bytes: int
    sha256: str


@dataclass(frozen=True)
class Manifest:
    """The list of what is in a backup. `faults` are what was wrong already when it was made, in words."""

    made_at: str
    why: str
    revision: str
    is_demo: bool
    entries: tuple[Entry, ...]
    faults: tuple[str, ...] = ()

    @property
    def size_bytes(self) -> int:
        """The size of all entries when unpacked."""
        return sum(entry.size_bytes for entry in self.entries)


def copy_hashed(source: IO[bytes], target: IO[bytes] | None, most_bytes: int | None = None) -> tuple[int, str]:
    """Copy in pieces (or only read, without a target); size and SHA-256. Stops behind `most_bytes`."""
    digest, size = hashlib.sha256(), 0
    while block := source.read(_BLOCK):
        digest.update(block)
        size += len(block)
        if target is not None:
            target.write(block)
        if most_bytes is not None and size > most_bytes:
            break
    return size, digest.hexdigest()


def add_file(archive: zipfile.ZipFile, name: str, path: Path, *, packed: bool) -> Entry:
    """Put one file into the backup; pictures and films are packed already. Raises OSError."""
    info = zipfile.ZipInfo(name)
    info.compress_type = zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED
    with path.open("rb") as source, archive.open(info, "w", force_zip64=True) as target:
        size, sha256 = copy_hashed(source, target)
    return Entry(name, size, sha256)


def add_manifest(archive: zipfile.ZipFile, manifest: Manifest) -> None:
    """Write the list, last of all."""
    told = {"format": FORMAT, "version": VERSION} | asdict(manifest)
    archive.writestr(zipfile.ZipInfo(MANIFEST_NAME), json.dumps(told, indent=1), zipfile.ZIP_DEFLATED)


@contextmanager
def open_backup(path: Path):
    """The open zip and its list. Raises UnusableData in words for anything that is no whole backup of ours."""
    try:
        with zipfile.ZipFile(path) as archive:
            yield archive, _manifest(archive, path)
    except FileNotFoundError as error:
        raise UnusableData(f"There is no file {path}.") from error
    except zipfile.BadZipFile as error:
        raise UnusableData(f"{path} is no backup of this notebook, or it is damaged; nothing was changed.") from error
    except OSError as error:
        raise UnusableData(f"{path} cannot be read: {error.strerror or error}.") from error


def read_entry(archive: zipfile.ZipFile, entry: Entry, target: IO[bytes] | None) -> None:
    """Read one entry, into `target` if there is one, and hold it against the list. Raises UnusableData."""
    try:
        with archive.open(entry.name) as source:
            size, sha256 = copy_hashed(source, target, entry.size_bytes)
    except DAMAGED as error:
        raise UnusableData(f"The backup is damaged at {entry.name}; nothing was changed.") from error
    if (size, sha256) != (entry.size_bytes, entry.sha256):
        raise UnusableData(f"The backup is damaged at {entry.name}; nothing was changed.")


def verify(archive: zipfile.ZipFile, entries: Iterable[Entry]) -> None:
    """Read every entry whole. Raises UnusableData at the first that is not as it was written."""
    for entry in entries:
        read_entry(archive, entry, None)


def _manifest(archive: zipfile.ZipFile, path: Path) -> Manifest:
    foreign = UnusableData(f"{path} is not a backup of this notebook; nothing was changed.")
    try:
        if archive.getinfo(MANIFEST_NAME).file_size > _MOST_MANIFEST_BYTES:
            raise foreign
        told = json.loads(archive.read(MANIFEST_NAME))
        if told.get("format") != FORMAT:
            raise foreign
        if told["version"] > VERSION:
            raise UnusableData(f"{path} was made by a newer version of this program; nothing was changed.")
        manifest = _read_manifest(told)
    except DAMAGED as error:
        raise foreign from error
    names = [entry.name for entry in manifest.entries]
    if names.count(DATABASE_NAME) != 1 or len(set(names)) != len(names):
        raise foreign
    if not all(name == DATABASE_NAME or _ENTRY_NAME.fullmatch(name) for name in names):
        raise foreign
    return manifest


def _read_manifest(told: dict[str, Any]) -> Manifest:
    entries = tuple(Entry(str(e["name"]), int(e["size_bytes"]), str(e["sha256"])) for e in told["entries"])
    faults = tuple(str(fault) for fault in told["faults"])
    return Manifest(
        str(told["made_at"]), str(told["why"]), str(told["revision"]), bool(told["is_demo"]), entries, faults
    )
