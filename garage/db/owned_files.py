"""The files beside the database: which rows own them, which are missing or damaged, and which nobody owns.

Any table with a column `sha256` owns files. A file lies at `files/ab/abcd….ending`, its name the hash of what is
in it; a small picture made of it lies beside it as `abcd….thumb.jpg` and can be made anew.
"""

import hashlib
import re
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from garage.db.durable import make_folder, move

_NAME = re.compile(r"([0-9a-f]{64})\.(thumb\.)?[a-z0-9]{1,8}")
PART_ENDING = ".part"
_BLOCK = 1 << 20


@dataclass(frozen=True)
class StoredFile:
    """One file of the store. `is_made_of_it` tells a small picture, whose name is not its own hash."""

    path: Path
    sha256: str
    is_made_of_it: bool

    @property
    def name(self) -> str:
        """Its name within the data folder, the same on every system."""
        return f"files/{self.path.parent.name}/{self.path.name}"


def owned_hashes(connection: sqlite3.Connection) -> set[str]:
    """The hashes of all files that some row owns, those set aside among them."""
    named = "SELECT name FROM sqlite_master WHERE type = 'table' AND sql LIKE '%sha256%'"
    owned: set[str] = set()
    for (table,) in connection.execute(named).fetchall():
        if "sha256" in (column[1] for column in connection.execute(f'PRAGMA table_info("{table}")')):
            owned.update(row[0] for row in connection.execute(f"SELECT sha256 FROM \"{table}\" WHERE sha256 <> ''"))
    return owned


def stored_files(files_dir: Path) -> Iterator[StoredFile]:
    """Every file of the store, in order of its name; anything else in that folder is passed over."""
    folders = sorted(folder for folder in files_dir.glob("[0-9a-f][0-9a-f]") if folder.is_dir())
    for folder in folders:
        for path in sorted(folder.iterdir()):
            found = is_store_name(path.name)
            if found is not None and path.is_file():
                yield StoredFile(path, *found)


def is_store_name(name: str) -> tuple[str, bool] | None:
    """The hash in a file's name, and whether it is a small picture; None if it is no name of ours."""
    found = _NAME.fullmatch(name)
    return (found[1], found[2] is not None) if found else None


def sha256_of(path: Path) -> str:
    """The hash of a file, read in pieces. Raises OSError."""
    digest = hashlib.sha256()
    with path.open("rb") as file:
        while block := file.read(_BLOCK):
            digest.update(block)
    return digest.hexdigest()


def file_faults(files_dir: Path, owned: set[str]) -> list[str]:
    """What is wrong with the files that rows own, in words: missing, unreadable, or not what was written."""
    faults, seen = [], set()
    for stored in stored_files(files_dir):
        if stored.is_made_of_it or stored.sha256 not in owned:
            continue
        seen.add(stored.sha256)
        try:
            if sha256_of(stored.path) != stored.sha256:
                faults.append(f"{stored.name} is damaged: what is in it is not what was written.")
        except OSError as error:
            faults.append(f"{stored.name} cannot be read: {error.strerror}.")
    faults += [f"A file is missing: files/{sha256[:2]}/{sha256}" for sha256 in sorted(owned - seen)]
    return faults


def unowned(files_dir: Path, owned: set[str]) -> list[StoredFile]:
    """Files that no row owns: the program was ended between writing a file and writing down whose it is."""
    return [stored for stored in stored_files(files_dir) if stored.sha256 not in owned]


def sweep(files_dir: Path, owned: set[str], swept_dir: Path) -> list[str]:
    """Take out what nobody owns, and name it. Whole files are moved to `swept_dir`; the beginnings of files
    that never arrived whole are removed. Only for a program that holds the folder."""
    named = []
    for part in sorted(files_dir.glob(f"*{PART_ENDING}")):
        part.unlink()
        named.append(f"files/{part.name} (never arrived whole, removed)")
    for stored in unowned(files_dir, owned):
        make_folder(swept_dir)
        move([(stored.path, swept_dir / stored.path.name)])
        named.append(f"{stored.name} (nothing refers to it, moved to {swept_dir.name}/)")
    return named
