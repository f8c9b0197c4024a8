"""A module with a wrong line: loaded instead of the right one, or put into the functions of one that is loaded."""

import gc
from collections.abc import Iterator, Sequence
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec, PathFinder, SourceFileLoader
from inspect import CO_OPTIMIZED
from types import CodeType, FunctionType, ModuleType

# Run where they stand, as the body around them is.
_RUN_AT_ONCE = ("<listcomp>", "<setcomp>", "<dictcomp>", "<genexpr>")


class _WrongLoader(SourceFileLoader):
    """Loads a module from another text than its file has; never from or into a cache."""

    def __init__(self, name: str, path: str, text: str) -> None:
        super().__init__(name, path)
        self._text = text

    def get_code(self, fullname: str) -> CodeType:
        return compile(self._text, self.path, "exec")


class WrongModule(MetaPathFinder):
    """Answers for one module alone, in `sys.meta_path`."""

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


def changed_functions(right: str, wrong: str) -> dict[CodeType, CodeType] | None:
    """What each function of a module becomes by a wrong line; none where the line runs as the module is loaded."""
    try:
        return dict(_pairs(compile(right, "right", "exec"), compile(wrong, "wrong", "exec")))
    except _RunsAtLoad:
        return None


def put_in(changed: dict[CodeType, CodeType]) -> None:
    """Let the functions that are loaded do what is wrong."""
    for found in gc.get_objects():
        if isinstance(found, FunctionType) and (code := changed.get(found.__code__)) is not None:
            found.__code__ = code
    # What was loaded before a fork is not gone through, and so not copied, in each.
    gc.freeze()


class _RunsAtLoad(Exception):
    pass


def _pairs(right: CodeType, wrong: CodeType) -> Iterator[tuple[CodeType, CodeType]]:
    """Functions right and wrong below the body of a module or class, which itself must be the same."""
    if _done_by(right) != _done_by(wrong):
        raise _RunsAtLoad
    for one, other in zip(_within(right), _within(wrong), strict=True):
        if one.co_name in _RUN_AT_ONCE or not one.co_flags & CO_OPTIMIZED:
            yield from _pairs(one, other)
        else:
            yield from _functions(one, other)


def _functions(right: CodeType, wrong: CodeType) -> Iterator[tuple[CodeType, CodeType]]:
    if right.co_freevars != wrong.co_freevars:
        raise _RunsAtLoad
    yield right, wrong
    # One of fewer functions within is made anew with them at each call.
    if [one.co_name for one in _within(right)] == [one.co_name for one in _within(wrong)]:
        for one, other in zip(_within(right), _within(wrong), strict=True):
            yield from _functions(one, other)


def _within(code: CodeType) -> list[CodeType]:
    return [one for one in code.co_consts if isinstance(one, CodeType)]


def _done_by(code: CodeType) -> tuple[object, ...]:
    """What a piece of code does, wherever its lines are. 1, 1.0 and True are equal, but not the same."""
    constants = [(type(one), one.co_name if isinstance(one, CodeType) else repr(one)) for one in code.co_consts]
    return code.co_code, code.co_names, code.co_varnames, constants
