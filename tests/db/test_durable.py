"""Writing that outlasts a power cut, in one place."""

import ast
import errno
import os
from pathlib import Path

import pytest

import garage
from garage.db import durable

_SOURCES = Path(garage.__file__).parent
# What puts a name or content on a disk; a moment's or a text's own `replace` is none of it.
_WRITING = {
    "fsync", "mkdir", "makedirs", "rename", "renames", "link", "symlink", "hardlink_to", "symlink_to",
    "write_bytes", "write_text", "copy", "copy2", "copyfile", "copytree", "touch",
}  # fmt: skip
_MODULES = {"os", "shutil", "tempfile"}


def _writes(call: ast.Call) -> str:
    """What a call writes with, if it does so past the one module for it."""
    if isinstance(call.func, ast.Attribute):
        name, of = call.func.attr, call.func.value
        by_module = isinstance(of, ast.Name) and of.id in _MODULES
        if by_module and name in _WRITING | {"replace", "move"}:
            return f"{of.id}.{name}"  # type: ignore[union-attr]
        if not by_module and name in _WRITING - {"copy"} and not (isinstance(of, ast.Name) and of.id == "durable"):
            return name
        # A zip's own `open` names the entry first, and its mode second.
        modes = call.args[:1] if name == "open" else []
    else:
        modes = call.args[1:2] if isinstance(call.func, ast.Name) and call.func.id == "open" else []
    written = [
        mode.value for mode in modes if isinstance(mode, ast.Constant) and set(str(mode.value)) <= set("rwaxbt+")
    ]
    return next((f"open {mode}" for mode in written if set(mode) & set("wax+")), "")


def test_nothing_else_writes_a_file_or_makes_a_folder():
    found = [
        f"{path.relative_to(_SOURCES)}:{node.lineno} {how}"
        for path in sorted(_SOURCES.rglob("*.py"))
        if path.name != "durable.py" and "_bundled" not in path.parts
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and (how := _writes(node))
    ]
    assert found == []


@pytest.mark.parametrize(
    "line",
    [
        "os.replace(a, b)",
        "path.mkdir()",
        "shutil.copy2(a, b)",
        "path.open('wb')",
        "open(path, 'w')",
        "path.write_text('')",
    ],
)
def test_a_line_that_writes_would_be_found(line):
    assert any(_writes(node) for node in ast.walk(ast.parse(line)) if isinstance(node, ast.Call))


@pytest.mark.parametrize("number", [errno.EINVAL, errno.ENOTSUP])
def test_a_disk_that_flushes_no_folders_is_written_to_all_the_same(tmp_path: Path, monkeypatch, number: int):
    _folders_fail(monkeypatch, number)
    durable.make_folder(tmp_path / "a" / "b")
    assert (tmp_path / "a" / "b").is_dir()


def test_a_disk_that_fails_is_told(tmp_path: Path, monkeypatch):
    _folders_fail(monkeypatch, errno.EIO)
    with pytest.raises(OSError, match="failed"):
        durable.make_folder(tmp_path / "a")


def _folders_fail(monkeypatch: pytest.MonkeyPatch, number: int) -> None:
    def fail(_file: int) -> None:
        raise OSError(number, "failed")

    monkeypatch.setattr(os, "fsync", fail)


def test_a_name_that_is_taken_keeps_its_file(tmp_path: Path):
    place = tmp_path / "ab" / "kept"
    for content in (b"first", b"second"):
        with durable.written(tmp_path / "new.part") as file:
            file.write(content)
        durable.give_name(tmp_path / "new.part", place)
        assert place.read_bytes() == b"first" and not (tmp_path / "new.part").exists()
