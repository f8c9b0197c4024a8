"""One program at a time writes in a data folder: a lock that the system gives back however that program ends."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from garage.db.durable import make_folder
from garage.errors import UnusableData

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None  # type: ignore[assignment]
    import msvcrt

LOCK_NAME = "garage.lock"
# Beyond anything that is written into the file, so that the number of the process can be read while it is held.
_LOCKED_BYTE = 1 << 20


def made(folder: Path) -> Path:
    """That folder, made if it was not there. Raises UnusableData."""
    try:
        make_folder(folder)
    except OSError as error:
        raise UnusableData(f"The data folder {folder} cannot be made: {error.strerror}.") from error
    return folder


@contextmanager
def held(data_dir: Path) -> Iterator[None]:
    """Hold the folder for the length of the block. Raises UnusableData in words if another program holds it,
    or if nothing can be written there."""
    path = data_dir / LOCK_NAME
    try:
        file = os.fdopen(os.open(path, os.O_RDWR | os.O_CREAT, 0o644), "r+b")
    except OSError as error:
        raise UnusableData(f"Nothing can be written in {data_dir}: {error.strerror}.") from error
    with file:
        if not _locked(file):
            raise UnusableData(
                f"{data_dir} is in use already{_holder(file)}. Stop that first; to look on meanwhile, "
                "use garage serve --read-only on another port."
            )
        file.seek(0)
        file.truncate()
        file.write(str(os.getpid()).encode())
        file.flush()
        yield


def _locked(file: IO[bytes]) -> bool:
    try:
        if fcntl is not None:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        else:
            file.seek(_LOCKED_BYTE)
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
    except OSError:
        return False
    return True


def _holder(file: IO[bytes]) -> str:
    file.seek(0)
    number = file.read(20).decode(errors="replace").strip()
    return f" (process {number})" if number.isdigit() else ""
