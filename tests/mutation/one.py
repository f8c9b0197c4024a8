"""Tries one mutant in a process of its own: the wrong module goes in when it is imported, the tree stays as it is.

`python -m tests.mutation.one MODULE WRONG_SOURCE CPU_SECONDS PYTEST_WORDS...`
"""

import resource
import sys
import traceback
from collections.abc import Sequence
from importlib import import_module
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec, PathFinder, SourceFileLoader
from pathlib import Path
from types import CodeType, ModuleType

import pytest


class _WrongLoader(SourceFileLoader):
    """Loads a module from another text than its file has; never from or into a cache."""

    def __init__(self, name: str, path: str, text: str) -> None:
        super().__init__(name, path)
        self._text = text

    def get_code(self, fullname: str) -> CodeType:
        return compile(self._text, self.path, "exec")


class _WrongModule(MetaPathFinder):
    """Answers for one module alone."""

    def __init__(self, name: str, text: str) -> None:
        self._name, self._text = name, text

    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        if fullname != self._name:
            return None
        spec = PathFinder.find_spec(fullname, path)
        assert spec is not None and spec.origin is not None
        spec.loader = _WrongLoader(fullname, spec.origin, self._text)
        return spec


def main(words: Sequence[str]) -> int:
    """Run pytest with the wrong module; its exit code."""
    module, source, seconds, *rest = words
    # By the processor's clock, not the wall's: a busy machine makes no endless loop.
    resource.setrlimit(resource.RLIMIT_CPU, (int(seconds), int(seconds)))
    sys.meta_path.insert(0, _WrongModule(module, Path(source).read_text(encoding="utf-8")))
    try:
        import_module(module)
    except Exception:
        # No test could begin with it, so that any of them would tell.
        traceback.print_exc()
        return int(pytest.ExitCode.TESTS_FAILED)
    return int(pytest.main(rest))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
