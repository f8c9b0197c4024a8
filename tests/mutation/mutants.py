"""Wrong lines made of right ones: every place in a module that an operator of this file can change."""

import ast
import copy
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

_SWAPPED = {
    ast.Lt: ast.Gt, ast.Gt: ast.Lt, ast.LtE: ast.GtE, ast.GtE: ast.LtE, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
_BOUNDARY = {ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt}
_ARITHMETIC = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.Pow: ast.Mult,
    ast.FloorDiv: ast.Mult, ast.Mod: ast.Mult,
}  # fmt: skip
# Pieces that are joined, not reckoned with.
_TEXT = (ast.JoinedStr, ast.List, ast.Tuple, ast.ListComp)
_ENDS = {"min": "max", "max": "min"}
# Below it a number says what rounding may do, and a tenth more of it says the same.
_ROUNDING = 1e-6


@dataclass(frozen=True)
class Mutant:
    """One wrong line: the whole module with it in `source`; `right` and `wrong` are the piece that was changed, and
    `statement` the lines of what it is part of, any of which may be the one that is said to have run."""

    path: str
    line: int
    operator: str
    right: str
    wrong: str
    source: str
    statement: range

    def __str__(self) -> str:
        return f"{self.path}:{self.line} {self.operator}: {_short(self.right)} -> {_short(self.wrong)}"


def _short(code: str) -> str:
    words = " ".join(code.split())
    return words if len(words) <= 70 else f"{words[:67]}..."


def mutants_of(path: str, source: str) -> list[Mutant]:
    """Every mutant of a module, in the order of its lines."""
    tree = ast.parse(source)
    parts = statements(tree)
    found = [
        _mutant(path, source, node, operator, wrong, parts)
        for node in _own_code(tree)
        for operator, wrong in _wrongs(node)
    ]
    return sorted(found, key=lambda one: (one.line, one.operator, one.wrong))


def _own_code(tree: ast.AST) -> Iterator[ast.expr | ast.stmt]:
    """The nodes that do something: no annotations, and no `@dataclass(frozen=True)`, which no result shows; nor what
    only says what must hold anyway, `assert` and `zip(strict=…)`."""
    if isinstance(tree, ast.Assert) or (isinstance(tree, ast.keyword) and tree.arg == "strict"):
        return
    for name, value in ast.iter_fields(tree):
        if name in ("annotation", "returns") or (name == "decorator_list" and isinstance(tree, ast.ClassDef)):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.expr | ast.stmt):
                yield child
            if isinstance(child, ast.AST):
                # The pieces of an f-string have no place of their own in the text.
                yield from () if isinstance(child, ast.JoinedStr) else _own_code(child)


def statements(tree: ast.AST) -> dict[int, range]:
    """The innermost statement of each line; of one with others within, what stands before them."""
    found: dict[int, range] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.stmt | ast.match_case):
            place = node.pattern if isinstance(node, ast.match_case) else node
            first = min(one.lineno for one in (place, *getattr(node, "decorator_list", ())))
            below = getattr(node, "body", None)
            lines = range(first, max(first, below[0].lineno - 1 if below else place.end_lineno) + 1)
            # Walked from the outer ones to the inner ones.
            found |= dict.fromkeys(lines, lines)
    return found


def _wrongs(node: ast.expr | ast.stmt) -> Iterator[tuple[str, ast.AST]]:
    """What `node` may be turned into, with the name of the operator."""
    match node:
        case ast.Compare(ops=[op]):
            for name, table in (("comparison", _SWAPPED), ("boundary", _BOUNDARY)):
                if type(op) in table:
                    yield name, _with(node, ops=[table[type(op)]()])
        case ast.BinOp(op=op) if type(op) in _ARITHMETIC and not (_is_text(node.left) or _is_text(node.right)):
            yield "arithmetic", _with(node, op=_ARITHMETIC[type(op)]())
        case ast.BoolOp(op=op):
            yield "and/or", _with(node, op=ast.Or() if isinstance(op, ast.And) else ast.And())
        case ast.UnaryOp(op=ast.Not()):
            yield "negation", node.operand
        case ast.IfExp(test=test) if not _turns_otherwise(test):
            yield "negation", _with(node, test=ast.UnaryOp(ast.Not(), test))
        case ast.Constant(value=bool()):
            yield "constant", ast.Constant(not node.value)
        case ast.Constant(value=int()):
            yield "constant", ast.Constant(node.value + 1)
        case ast.Constant(value=float()) if not 0 < node.value <= _ROUNDING:
            yield "constant", ast.Constant(float(f"{node.value * 1.1:.6g}") if node.value else 1.0)
        case ast.Call(func=ast.Name(id=name)) if name in _ENDS:
            yield "min/max", _with(node, func=ast.Name(_ENDS[name], ast.Load()))
        case ast.Call() if node.keywords and all(one.arg for one in node.keywords):
            for index in (place for place, one in enumerate(node.keywords) if one.arg != "strict"):
                yield "argument", _with(node, keywords=node.keywords[:index] + node.keywords[index + 1 :])
        case ast.Return(value=ast.expr() as value) if not (isinstance(value, ast.Constant) and value.value is None):
            yield "return None", ast.Return(ast.Constant(None))
        case ast.If(test=test) if not _turns_otherwise(test):
            # The test alone is replaced, so that the lines below it stay as they are.
            yield "negation", ast.UnaryOp(ast.Not(), test)


def _turns_otherwise(test: ast.expr) -> bool:
    """Whether a test is turned round by another operator already."""
    match test:
        case ast.UnaryOp(op=ast.Not()):
            return True
        case ast.Compare(ops=[ast.Eq() | ast.NotEq() | ast.In() | ast.NotIn() | ast.Is() | ast.IsNot()]):
            return True
    return False


def _with(node: ast.AST, **changes: object) -> ast.AST:
    changed = copy.copy(node)
    for name, value in changes.items():
        setattr(changed, name, value)
    return changed


def _is_text(node: ast.expr) -> bool:
    return isinstance(node, _TEXT) or (isinstance(node, ast.Constant) and isinstance(node.value, str))


def _mutant(
    path: str, source: str, node: ast.expr | ast.stmt, operator: str, wrong: ast.AST, parts: Mapping[int, range]
) -> Mutant:
    place = node.test if isinstance(node, ast.If) else node
    lines = source.encode().splitlines(keepends=True)
    start = sum(map(len, lines[: place.lineno - 1])) + place.col_offset
    end = sum(map(len, lines[: place.end_lineno - 1])) + place.end_col_offset
    code = ast.unparse(wrong) if isinstance(wrong, ast.stmt) else f"({ast.unparse(wrong)})"
    whole = source.encode()
    return Mutant(
        path,
        place.lineno,
        operator,
        whole[start:end].decode(),
        code,
        (whole[:start] + code.encode() + whole[end:]).decode(),
        parts.get(place.lineno, range(place.lineno, place.lineno + 1)),
    )
