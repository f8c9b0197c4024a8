"""One moment of a garage, to read from without touching its folder."""

from pathlib import Path
from tempfile import TemporaryDirectory

from garage.db.durable import copy_for_now
from garage.errors import UnusableData
from garage.paths import DATABASE_NAME

_LOG = f"{DATABASE_NAME}-wal"
_TRIES = 20


class Snapshot:
    """A copy of a garage's file as it was at one moment, in a folder of its own that goes when it is closed.

    SQLite leaves files of its own beside any file it reads, and a program that serves the garage may write meanwhile:
    so what is read is a copy. Raises UnusableData in words.
    """

    def __init__(self, folder: Path) -> None:
        if not (folder / DATABASE_NAME).is_file():
            raise UnusableData(f"There is no garage in {folder} to look at.")
        self._own = TemporaryDirectory(prefix="garage-")
        self.database = Path(self._own.name) / DATABASE_NAME
        try:
            _copy(folder, self.database.parent)
        except OSError as error:
            self.close()
            raise UnusableData(f"{folder / DATABASE_NAME} cannot be read: {error.strerror}.") from error
        except UnusableData:
            self.close()
            raise

    def close(self) -> None:
        """Let go of the copy."""
        self._own.cleanup()


def _copy(folder: Path, to: Path) -> None:
    """The file with its log of what is not yet in it, both of the same moment."""
    for _ in range(_TRIES):
        before = _marks(folder)
        for name in (DATABASE_NAME, _LOG):
            (to / name).unlink(missing_ok=True)
            if (folder / name).exists():
                copy_for_now(folder / name, to)
        if _marks(folder) == before:
            return
    raise UnusableData(f"{folder} is being written to without a pause; try once more.")


def _marks(folder: Path) -> list[tuple[int, int]]:
    """When each of the two was last written, and how long it is."""
    found = [(folder / name).stat() for name in (DATABASE_NAME, _LOG) if (folder / name).exists()]
    return [(one.st_mtime_ns, one.st_size) for one in found]
