"""What a template was compiled to is kept, and holds nothing of the request for which that was first done."""

import sys
from pathlib import Path
from types import SimpleNamespace

import pytest
from jinja2 import Environment, FileSystemLoader

from garage.units import DisplayUnits
from garage.web import templates
from garage.web.compiled import CompiledTemplates
from garage.web.shown import kept_units


def test_a_unit_named_in_a_template_is_that_of_each_request():
    kept_units.set(DisplayUnits())
    template = templates.make_environment().from_string(
        '{{ "length" | preferred_unit }} {{ 254 | quantity("length") | striptags }}'
    )
    assert template.render() == "mm 254mm"
    kept_units.set(DisplayUnits.imperial())
    assert template.render().startswith("in 10")


class Watched(Environment):
    """Remembers what it compiled."""

    def compile(self, source, name=None, *arguments, **options):
        self.compiled = [*getattr(self, "compiled", []), name]
        return super().compile(source, name, *arguments, **options)


@pytest.fixture
def folder(tmp_path, monkeypatch) -> Path:
    """A folder with a template and a file that has a say in what it is compiled to; Python keeps what it compiles."""
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(sys, "pycache_prefix", None)
    (tmp_path / "templates").mkdir()
    (tmp_path / "templates" / "page.html").write_text("{{ 1 + 1 }}")
    (tmp_path / "maker.py").write_text("first")
    return tmp_path


def _compiled(folder: Path, text: str = "2") -> list[str]:
    """What another start of the program has to compile before the page says `text`."""
    kept = CompiledTemplates(folder / "templates", (folder / "maker.py",))
    environment = Watched(loader=FileSystemLoader(folder / "templates"), bytecode_cache=kept)
    assert environment.get_template("page.html").render() == text
    return getattr(environment, "compiled", [])


def test_a_template_is_compiled_once_and_again_after_a_change_of_it_or_of_what_compiles_it(folder):
    assert _compiled(folder) == ["page.html"]
    assert _compiled(folder) == []
    (folder / "templates" / "page.html").write_text("{{ 1 + 2 }}")
    assert (_compiled(folder, "3"), _compiled(folder, "3")) == (["page.html"], [])
    (folder / "maker.py").write_text("second")
    assert (_compiled(folder, "3"), _compiled(folder, "3")) == (["page.html"], [])


def test_where_nothing_may_or_can_be_kept_the_page_is_there_all_the_same(folder, monkeypatch):
    (folder / "templates" / "__pycache__").write_text("in the way")
    assert _compiled(folder) == _compiled(folder) == ["page.html"]
    (folder / "templates" / "__pycache__").unlink()
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    assert _compiled(folder) == ["page.html"]
    assert not (folder / "templates" / "__pycache__").exists()


@pytest.mark.parametrize("content", [b"", b"j2", b"\0" * 400])
def test_what_was_kept_and_is_damaged_is_not_taken(folder, content):
    _compiled(folder)
    for path in (folder / "templates" / "__pycache__").iterdir():
        path.write_bytes(path.read_bytes()[:60] if content == b"j2" else content)
    assert _compiled(folder) == ["page.html"]


@pytest.mark.parametrize(
    ("said", "usual"),
    [
        (["log, both ways, one pass", "log, both ways, best of 2", "log, both ways, best of 3"], "log, both ways, "),
        (["log, both ways, one pass", "log, one way, best of 2", "display, one way, best of 3"], ""),
        (["Osier Mere", "Low Quarry Pool"], ""),
        (["Osier Mere", "Osier Mere", "Low Quarry Pool"], "Osier Mere"),
        ([], ""),
    ],
)
def test_a_caption_says_what_most_rows_say_and_what_they_say_but_for_one_part(said, usual):
    commonest = templates.make_environment().filters["commonest"]
    found = commonest([SimpleNamespace(known=text) for text in said], "known")
    assert found.startswith(usual) and bool(found) == bool(usual)
