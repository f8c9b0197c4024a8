"""What goes to the printer: each sheet on as little paper as can be read, and nothing on it that is for a screen."""

import shutil
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import Page

from tests.journeys.conftest import PHONE
from tests.journeys.test_every_page import MOST_TALL_PX

pytestmark = pytest.mark.browser
_PAPER = ("A4", "Letter")
# Sheets by their addresses in the demo, with how many sides of paper each may take.
_SHEETS = {"/modifications/13/sheet": 1, "/findings/1/plan": 1, "/stock": 2}
# What is pressed or leads elsewhere, as far as it would be printed.
_FOR_THE_SCREEN = """() => [...document.querySelectorAll("button, nav, footer, select, .skip, .acts, .btn")]
    .filter(one => one.checkVisibility()).map(one => one.outerHTML.slice(0, 80))"""
_NAMES_OF_ROOMS = {"Garage notebook", "Rooms", "Write a run", "Units and preferences"}


def _sides(page: Page, paper: str) -> int:
    return page.pdf(format=paper).count(b"/Type /Page\n")


def _printed(page: Page, path: str) -> str:
    """The words of a page as they are laid out for paper, once nothing on it is for the screen alone."""
    page.goto(path)
    page.emulate_media(media="print")
    words = page.inner_text("body")
    assert page.evaluate(_FOR_THE_SCREEN) == [], path
    assert not [name for name in _NAMES_OF_ROOMS if name in words.splitlines()], path
    return words


def test_each_sheet_takes_as_little_paper_as_it_may_and_holds_what_it_is_for(
    served, open_page, demo_folder: Path, tmp_path: Path
):
    address = served(Path(shutil.copytree(demo_folder, tmp_path / "demo")))
    page = open_page(address, size=PHONE)
    for path, most in _SHEETS.items():
        _printed(page, path)
        assert all(1 <= _sides(page, paper) <= most for paper in _PAPER), path
    assert "Why in this order" in _printed(page, "/findings/1/plan")
    boats = httpx.get(f"{address}/pit.json").json()["boats"]
    words = _printed(page, "/pit")
    assert len(boats) >= 3 and all(boat["mark"] in words and boat["fingerprint"] not in words for boat in boats)
    assert [_sides(page, paper) for paper in _PAPER] == [len(boats)] * 2


def test_a_rebuild_sheet_is_one_side_of_paper_with_a_box_for_each_thing_to_do(
    served, open_page, demo_folder: Path, tmp_path: Path
):
    address = served(Path(shutil.copytree(demo_folder, tmp_path / "demo")))
    page = open_page(address, size=PHONE)
    best = httpx.get(f"{address}/records.json").json()["sections"]
    for run_id in {section["rows"][0]["run"]["id"] for section in best}:
        path = f"/runs/{run_id}/rebuild"
        sheet = httpx.get(f"{address}{path}.json").json()
        words = _printed(page, path)
        assert [_sides(page, paper) for paper in _PAPER] == [1, 1], path
        assert sheet["state"]["mark"] in words and sheet["state"]["fingerprint"] not in words
        # Folded on the screen, laid out on paper.
        on_her = sheet["state"]["content"]
        assert all(line["text"] in words for line in on_her["parts"])
        assert page.locator(".different .tick").count() == len(sheet["different"])
        settings = sum(len(group["lines"]) for group in on_her["settings"])
        assert page.locator(".today").count() == settings + len(sheet["props"] or "-") + len(sheet["packs"] or "-")
        page.emulate_media(media="screen")
        assert page.evaluate("document.documentElement.scrollHeight") < MOST_TALL_PX, path
