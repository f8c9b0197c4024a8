"""What templates name and do not use."""

import re
from collections import Counter

from garage.paths import TEMPLATES_DIR
from tests.paths import ROOT

_TEXTS = {path.relative_to(TEMPLATES_DIR).as_posix(): path.read_text("utf-8") for path in TEMPLATES_DIR.rglob("*.html")}
_IMPORT = re.compile(r"""{%-?\s*from\s+["'][^"']+["']\s+import\s+(.*?)(?:\s+with context)?\s*-?%}""", re.DOTALL)
_MACRO = re.compile(r"{%-?\s*macro\s+(\w+)")


def _words(text: str) -> Counter[str]:
    return Counter(re.findall(r"\w+", text))


def test_every_import_of_a_template_is_used_in_it():
    unused = {
        (name, imported)
        for name, text in _TEXTS.items()
        for names in _IMPORT.findall(text)
        for imported in (part.split(" as ")[-1].strip() for part in names.split(","))
        if _words(text)[imported] < 2
    }
    assert unused == set()


def test_every_macro_is_used():
    """In a template, or by its name in the program: the drawings of a calculator."""
    everywhere = _words("\n".join(_TEXTS.values()))
    named = _words("\n".join(path.read_text("utf-8") for path in (ROOT / "garage").rglob("*.py")))
    macros = {macro for text in _TEXTS.values() for macro in _MACRO.findall(text)}
    assert {macro for macro in macros if everywhere[macro] < 2 and not named[macro]} == set()
