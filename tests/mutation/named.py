"""Wrong lines that once passed all tests nearby, each of which a person would see. They are in every sample."""

import ast
from pathlib import Path

from tests.mutation.mutants import Mutant, statements
from tests.paths import ROOT

_NAMED = (
    ("C-rate ten times too small", "garage/runs/derived.py", "current * 1000 / look", "current * 100 / look"),
    (
        "start always known",
        "garage/runs/store.py",
        "start_time_known=form.started is not None",
        "start_time_known=True",
    ),
    (
        "a run set aside fills the next form",
        "garage/runs/store.py",
        "started_at < :before AND +set_aside_at IS NULL",
        "started_at < :before",
    ),
    ("lowest limit for the highest", "garage/runs/gather.py", "max(passed)", "min(passed)"),
    ("lowest limit flagged", "garage/runs/lines/flags.py", "max(passed, key=", "min(passed, key="),
    ("coldest reading for the warmest", "garage/runs/store.py", "max(warm, default=None)", "min(warm, default=None)"),
)


def named_mutants(root: Path = ROOT) -> list[Mutant]:
    """The named lines as the code stands. Raises ValueError where the code has moved on from one."""
    return [_named(root, *one) for one in _NAMED]


def _named(root: Path, name: str, path: str, right: str, wrong: str) -> Mutant:
    source = (root / path).read_text(encoding="utf-8")
    if source.count(right) != 1:
        raise ValueError(f"{path} has “{right}” {source.count(right)} times, so that “{name}” cannot be tried")
    line = source[: source.index(right)].count("\n") + 1
    return Mutant(path, line, name, right, wrong, source.replace(right, wrong), statements(ast.parse(source))[line])
