"""Wrong lines are made where they should be, and nowhere else."""

import ast

import pytest

from tests.mutation.mutants import mutants_of
from tests.mutation.named import named_mutants
from tests.mutation.rooms import TESTS, mutants_in, room_of
from tests.mutation.trial import sample
from tests.paths import ROOT


def _wrongs(line: str) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for one in mutants_of("garage/runs/x.py", f"{line}\n"):
        found.setdefault(one.operator, []).append(one.source.strip())
    return found


@pytest.mark.parametrize(
    ("line", "operator", "wrong"),
    [
        ("a = b < c", "comparison", "a = (b > c)"),
        ("a = b < c", "boundary", "a = (b <= c)"),
        ("a = b is None", "comparison", "a = (b is not None)"),
        ("a = b * c", "arithmetic", "a = (b / c)"),
        ("a = b and c", "and/or", "a = (b or c)"),
        ("a = not b", "negation", "a = (b)"),
        ("a = b if c else d", "negation", "a = (b if not c else d)"),
        ("if b:\n    a = c", "negation", "if (not b):\n    a = c"),
        ("a = True", "constant", "a = (False)"),
        ("a = 7", "constant", "a = (8)"),
        ("a = 1000.0", "constant", "a = (1100.0)"),
        ("a = max(b, c)", "min/max", "a = (min(b, c))"),
        ("a = b(c, d=e)", "argument", "a = (b(c))"),
        ("def a():\n    return b", "return None", "def a():\n    return None"),
        ("a = 'ä' if b < c else 0.5", "boundary", "a = 'ä' if (b <= c) else 0.5"),
    ],
)
def test_an_operator_changes_one_piece_and_leaves_the_rest(line, operator, wrong):
    assert wrong in _wrongs(line)[operator]


@pytest.mark.parametrize(
    "line",
    [
        "a: Literal[1] = b", "def a(b: X[2]) -> Y[3]: ...", "a = 'words' + b", "@dataclass(frozen=True)\nclass A: ...",
        "a = f'{b:.2f}'", "def a():\n    return None", "def a():\n    '''Words.'''", "assert a is not None and b < 1",
        "for a in zip(b, c, strict=True): ...", "a = 1e-9",
    ],
)  # fmt: skip
def test_words_types_and_what_must_hold_anyway_are_left_alone(line):
    assert _wrongs(line) == {}


def test_a_test_turned_round_is_not_turned_round_twice():
    assert _wrongs("if b is None:\n    a = c") == {"comparison": ["if (b is not None):\n    a = c"]}
    assert _wrongs("if not b:\n    a = c") == {"negation": ["if (b):\n    a = c"]}


@pytest.mark.parametrize("room", TESTS)
def test_every_mutant_of_a_room_is_python_and_something_else_than_the_code(room):
    found = mutants_in(room)
    assert len(found) > 500
    for one in found[::100]:
        right = (ROOT / one.path).read_text(encoding="utf-8")
        assert ast.dump(ast.parse(one.source)) != ast.dump(ast.parse(right)), one


def test_a_piece_of_a_statement_of_several_lines_may_be_said_to_run_at_any_of_them():
    source = "@a(\n    b < c,\n)\ndef d(e=1):\n    return f(\n        7,\n    )\n"
    found = {one.right: one.statement for one in mutants_of("garage/runs/x.py", source)}
    assert (found["1"], found["7"], found["b < c"]) == (range(1, 5), range(5, 8), range(1, 5))


def test_a_sample_is_the_same_for_the_same_seed_and_takes_as_many_of_each_room():
    drawn = sample(3, 22)
    assert drawn == sample(3, 22) != sample(4, 22)
    counts = [sum(room_of(one) == room for one in drawn) for room in TESTS]
    assert sum(counts) == 22 and max(counts) - min(counts) <= 1
    # Asked for fewer than the named ones, those alone are tried.
    assert sample(3, 0) == sample(3, 2 - len(named_mutants())) == []


def test_the_named_lines_are_where_the_code_has_them():
    assert {room_of(one) for one in named_mutants()} <= set(TESTS)
    assert len(named_mutants()) == 6
