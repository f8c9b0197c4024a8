"""Opening a file to read it, so that somebody else can look how far the reading has come."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from io import BufferedReader, FileIO
from pathlib import Path

_TELL: ContextVar[Callable[[FileIO], None] | None] = ContextVar("tell", default=None)


@contextmanager
def told_of_opened(tell: Callable[[FileIO], None]) -> Iterator[None]:
    """Within the block `tell` is given the bare file of everything that is opened to be read."""
    before = _TELL.set(tell)
    try:
        yield
    finally:
        _TELL.reset(before)


def open_to_read(path: Path) -> BufferedReader:
    """The file, opened. Its place is asked of the bare file, so that reading itself does not slow down."""
    file = path.open("rb")
    tell = _TELL.get()
    if tell is not None and isinstance(file.raw, FileIO):
        tell(file.raw)
    return file
