"""Compiled templates, kept where Python keeps its own compiled modules and by the same rules.

Compiling is half of what a first page costs. Nothing of it is anybody's data: what cannot be kept is compiled again,
and what was made of another text, by another Python or by other code of ours is not taken.
"""

import sys
from contextlib import suppress
from functools import cached_property
from hashlib import sha1
from importlib.util import cache_from_source
from pathlib import Path

import jinja2
from jinja2.bccache import Bucket, FileSystemBytecodeCache

from garage.db.durable import make_folder


class CompiledTemplates(FileSystemBytecodeCache):
    """What the templates of a folder were compiled to. `makers` are the files of our own that have a say in it."""

    def __init__(self, templates: Path, makers: tuple[Path, ...]) -> None:
        super().__init__(str(Path(cache_from_source(str(templates / "templates.py"))).parent))
        self._makers = makers

    @cached_property
    def _made_by(self) -> bytes:
        return b"".join([jinja2.__version__.encode(), *(path.read_bytes() for path in self._makers)])

    def get_source_checksum(self, source: str) -> str:
        """What a template's text and the code that read it are told from others by."""
        return sha1(self._made_by + source.encode(), usedforsecurity=False).hexdigest()

    def load_bytecode(self, bucket: Bucket) -> None:
        """Take what was kept, unless it does not read: the power may have failed as it was written."""
        try:
            super().load_bytecode(bucket)
        except Exception:
            bucket.reset()

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep what was compiled, if it may and can be kept."""
        if sys.dont_write_bytecode:
            return
        with suppress(OSError):
            make_folder(Path(self.directory))
            super().dump_bytecode(bucket)
