"""An evening filled in on a phone and at the desk, in a real browser."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.journeys.conftest import DESK, PHONE, serious_faults

pytestmark = pytest.mark.browser


@pytest.fixture
def address(served: Callable, demo_folder: Path, tmp_path: Path) -> str:
    folder = tmp_path / "garage"
    shutil.copytree(demo_folder, folder)
    return served(folder)


def test_on_a_phone_a_card_asks_what_is_missing_and_the_rest_is_a_press_away(address: str, open_page: Callable):
    page = open_page(address + "/outings/54/evening", size=PHONE, javascript=False)
    whole, open_one = page.locator("tbody").nth(0), page.locator("tbody").nth(3)
    expect(whole.locator("td input:visible, td select:visible")).to_have_count(0)
    expect(open_one.get_by_label("seconds after the stop of run 4")).to_be_visible()
    expect(open_one.get_by_label("speed of run 4", exact=True)).to_be_hidden()
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    # Two packs were mixed up: one choice, both runs change; a tap for what happened.
    whole.get_by_label("the rest of run 1").check()
    whole.get_by_label("swap packs of run 1 with").select_option("run 2")
    whole.locator('input[value="spin out"]').check()
    page.get_by_role("button", name="Save all").last.click()
    expect(page.get_by_role("status")).to_contain_text("2 changed")
    whole.get_by_label("the rest of run 1").check()
    expect(whole.get_by_label("pack 1 of run 1, by code")).to_have_value("J")
    expect(whole.get_by_text("beside spin out")).to_be_visible()


def test_at_the_desk_a_run_is_a_line_and_the_headings_stay_in_sight(address: str, open_page: Callable):
    page = open_page(address + "/outings/54/evening", size={**DESK, "height": 420})
    rows = page.locator("table.evening").first.locator("tbody > tr:visible")
    expect(rows).to_have_count(6)
    assert page.evaluate("document.documentElement.scrollWidth") <= DESK["width"]
    page.get_by_label("corners, 1 spins out to 5 planted, of run 6").scroll_into_view_if_needed()
    heading = page.get_by_role("columnheader", name="Corners").first
    assert page.evaluate("scrollY") > 100 and heading.bounding_box()["y"] >= 0
    expect(heading).to_be_in_viewport()
    first, second = (page.get_by_label(f"seconds after the stop of run {number}") for number in (5, 6))
    first.press("Enter")
    expect(second).to_be_focused()
    # What cannot be is told in its cell, what was typed elsewhere stays.
    page.get_by_label("charge put back after run 5").fill("90000")
    page.get_by_label("seconds after the stop of run 6").fill("25")
    page.get_by_role("button", name="Save all").last.click()
    expect(page.get_by_role("alert")).to_be_visible()
    expect(page.get_by_label("seconds after the stop of run 6")).to_have_value("25")
    assert serious_faults(page) == []
