"""What the program's source may not hold: ways by which text becomes a command, or a file becomes code."""

import ast
import re
from pathlib import Path

import pytest

from garage.cli import main

ROOT = Path(__file__).parents[2]
SOURCES = sorted((ROOT / "garage").rglob("*.py"))
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
_FORBIDDEN_CALLS = {"eval", "exec", "compile", "__import__", "os.system", "os.popen", "input"}
_FORBIDDEN_MODULES = {"pickle", "marshal", "shelve", "subprocess", "xml.dom", "xml.sax", "lxml", "ctypes", "tarfile"}
_NETWORK_MODULES = {"urllib.request", "http.client", "requests", "httpx", "ftplib", "smtplib"}


def _dotted(node: ast.expr) -> str:
    if isinstance(node, ast.Name):
        return node.id
    return f"{_dotted(node.value)}.{node.attr}" if isinstance(node, ast.Attribute) else ""


def _unwanted(path: Path) -> list[str]:
    found = []
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Call):
            found += [_dotted(node.func)] if _dotted(node.func) in _FORBIDDEN_CALLS else []
            found += ["shell=" for keyword in node.keywords if keyword.arg == "shell"]
        names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
        names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
        for name in names:
            if name != "xml.sax.saxutils" and any(
                name == module or name.startswith(module + ".") for module in _FORBIDDEN_MODULES | _NETWORK_MODULES
            ):
                found.append(name)
    return found


def test_no_text_becomes_a_command_and_no_file_becomes_code():
    assert {str(path.relative_to(ROOT)): found for path in SOURCES if (found := _unwanted(path))} == {}


def test_the_test_itself_finds_what_it_looks_for(tmp_path: Path):
    bad = tmp_path / "bad.py"
    bad.write_text("import pickle, urllib.request\nfrom subprocess import run\neval('1')\nrun('ls', shell=True)\n")
    assert sorted(_unwanted(bad)) == ["eval", "pickle", "shell=", "subprocess", "urllib.request"]


def test_xml_is_read_in_one_place_that_refuses_document_types(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    readers = [path for path in SOURCES if "ElementTree" in path.read_text()]
    assert [str(path.relative_to(ROOT)) for path in readers] == ["garage/logs/readers/gpx.py"]
    bomb = tmp_path / "bomb.gpx"
    entities = "".join(f'<!ENTITY a{n} "{f"&a{n - 1};" * 10 if n else "aaaaaaaaaa"}">' for n in range(12))
    bomb.write_text(f'<?xml version="1.0"?><!DOCTYPE gpx [{entities}]><gpx version="1.1"><name>&a11;</name></gpx>')
    assert main(["track", str(bomb)]) == 2
    said = capsys.readouterr().err
    assert "document type" in said.lower() or "doctype" in said.lower()


_UNWANTED_IN_PAGES = {
    "a script within the page": r"<script(?![^>]*\bsrc=)",
    "a handler within the page": r"\son[a-z]+\s*=\s*[\"']",
    "a style within the page": r"\sstyle\s*=",
    "another host": r"(?:src|href|action)\s*=\s*[\"'](?:https?:)?//",
    "text that is not escaped": r"\|\s*safe\b|autoescape",
}


def test_no_template_carries_a_script_a_style_another_host_or_unescaped_text():
    found = [
        f"{path.relative_to(ROOT)}: {what}"
        for path in TEMPLATES
        for what, pattern in _UNWANTED_IN_PAGES.items()
        if re.search(pattern, path.read_text())
    ]
    assert len(TEMPLATES) > 60
    assert found == []
