"""Writing so that a power cut takes nothing back: a file is flushed before it gets its name, and the name after.

A name is kept by the folder it stands in, so that folder is flushed, too; a folder is a name in the one above it.
Everything of ours that writes, moves or replaces a file or makes a folder does it here.
"""

import errno
import os
import shutil
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

# What is said where folders cannot be flushed at all (Windows, some network drives); anything else is a fault.
_NO_FLUSHING_OF_FOLDERS = {errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EBADF}


def flush_file(file: IO[bytes]) -> None:
    """See that what was written to an open file is on the disk. Raises OSError."""
    file.flush()
    os.fsync(file.fileno())


def flush_folder(folder: Path) -> None:
    """See that the names in a folder are on the disk. Raises OSError."""
    try:
        opened = os.open(folder, os.O_RDONLY)
    except PermissionError:  # Windows opens no folders.
        return
    try:
        os.fsync(opened)
    except OSError as error:
        if error.errno not in _NO_FLUSHING_OF_FOLDERS:
            raise
    finally:
        os.close(opened)


def make_folder(folder: Path) -> None:
    """Make a folder and those above it, as far as they are not there. Raises OSError."""
    made = [folder, *folder.parents]
    missing = [each for each in made if not each.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    # The last also if it stood there: another thread may have made it a moment ago and not have flushed it yet.
    for each in missing or [folder]:
        flush_folder(each.parent)


@contextmanager
def written(path: Path) -> Iterator[IO[bytes]]:
    """A new file to write to; what is in it is on the disk when the block ends, its name when it is moved."""
    with path.open("wb") as file:
        yield file
        flush_file(file)


def copy_for_now(source: Path, folder: Path) -> Path:
    """Copy a file with its times into a folder, under its own name; the copy. Nothing is flushed: for what is only
    read, and gone afterwards. Raises OSError."""
    return Path(shutil.copy2(source, folder / source.name))


def copy_into(source: Path, folder: Path) -> None:
    """Copy a file with its times into a folder, under its own name, to stay there. Raises OSError."""
    _flush(copy_for_now(source, folder))
    flush_folder(folder)


def replace(new: Path, target: Path) -> None:
    """Put a new file, as it was written by whomever, in the place of `target`. Raises OSError."""
    _flush(new)
    move([(new, target)])


def move(pairs: Iterable[tuple[Path, Path]]) -> None:
    """Move files whose content is on the disk, or whole folders, each to its new place. Raises OSError."""
    folders = set()
    for source, target in pairs:
        os.replace(source, target)
        folders.add(target.parent)
    for folder in sorted(folders):
        flush_folder(folder)


def give_name(part: Path, path: Path) -> None:
    """Put a flushed file in its place, which is never written over: if the name is taken, that file stays."""
    make_folder(path.parent)
    os.chmod(part, 0o644)
    try:
        os.link(part, path)
    except FileExistsError:
        pass
    except OSError:
        # Some memory cards and network drives know no links.
        if not path.exists():
            os.replace(part, path)
    finally:
        part.unlink(missing_ok=True)
    # Also where the name was taken: who took it may not have flushed it yet.
    flush_folder(path.parent)


def _flush(path: Path) -> None:
    with path.open("rb+") as file:
        os.fsync(file.fileno())
