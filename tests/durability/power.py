"""What a power cut would leave: every call that writes a name or flushes is followed, in the order it is made.

A file is kept from its last flush on if nothing was written to it since; a name is kept once the folder it stands in
was flushed after the name was given. The model is the strictest that any file system may be.
"""

import os
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from garage.paths import DATABASE_NAME

_STORED = re.compile(r"files/[0-9a-f]{2}/[0-9a-f]{64}\.(thumb\.)?\w+")


@dataclass(frozen=True)
class Call:
    """One call, and the place it was about."""

    what: str
    place: Path


class Disk:
    """Follows what this process does to the disk below `top`."""

    def __init__(self, top: Path, patch: pytest.MonkeyPatch) -> None:
        self.top = top
        self.calls: list[Call] = []
        # What was lost when the notebook's file was put in its place.
        self.lost_at_swap: list[str] | None = None
        self._loose: set[Path] = set()
        self._flushed = {found.st_ino: _state(found) for found in map(os.stat, top.rglob("*"))}
        self._given = {name: getattr(os, name) for name in ("fsync", "mkdir", "replace", "rename", "link")}
        patch.setattr(os, "fsync", self._fsync)
        patch.setattr(os, "mkdir", self._following("mkdir", 0))
        for name in ("replace", "rename", "link"):
            patch.setattr(os, name, self._following(name, 1))

    def kept(self) -> list[Path]:
        """The stored files, and archives and backups, that stand under their names now."""
        return [path for path in sorted(self.top.rglob("*")) if path.is_file() and self._counts(path)]

    def lost(self) -> list[str]:
        """Those of `kept` that a power cut would take now, each with why."""
        return [line for path in self.kept() for line in self.why_lost(path)]

    def _counts(self, path: Path) -> bool:
        within = path.relative_to(self.top)
        is_scratch = any(part.startswith((".making-", ".restoring-")) for part in within.parts)
        return not is_scratch and bool(_STORED.fullmatch("/".join(path.parts[-3:])) or path.suffix == ".zip")

    def why_lost(self, path: Path) -> list[str]:
        """Why a power cut would take that file now; nothing if it would not."""
        name = path.relative_to(self.top)
        loose = [each.relative_to(self.top) for each in (path, *path.parents) if each in self._loose]
        return self._content_lost(path) + [f"{name}: the name {each} was not flushed" for each in loose]

    def _content_lost(self, path: Path) -> list[str]:
        found = os.stat(path)
        is_kept = self._flushed.get(found.st_ino) == _state(found)
        return [] if is_kept else [f"{path.relative_to(self.top)}: its content was not flushed"]

    def _fsync(self, file: int) -> None:
        self._given["fsync"](file)
        place, found = Path(os.readlink(f"/proc/self/fd/{file}")), os.fstat(file)
        if place.is_dir():
            self._loose = {path for path in self._loose if path.parent != place}
        self._flushed[found.st_ino] = _state(found)
        self._noted("fsync", place)

    def _following(self, name: str, which: int) -> Callable:
        def follow(*places, **options) -> None:
            place = Path(places[which])
            if name == "replace" and place.name == DATABASE_NAME:
                self.lost_at_swap = self.lost() + self._content_lost(Path(places[0]))
            self._given[name](*places, **options)
            if self.top in place.parents:
                self._loose.add(place)
                self._noted(name, place)

        return follow

    def _noted(self, what: str, place: Path) -> None:
        if self.top in place.parents or place == self.top:
            self.calls.append(Call(what, place))


def _state(found: os.stat_result) -> tuple[int, int]:
    return found.st_size, found.st_mtime_ns
