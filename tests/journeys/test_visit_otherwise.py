"""On the phone: a workshop visit that was on another day, looked at, saved, and taken back."""

import shutil
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.journeys.conftest import PHONE

pytestmark = pytest.mark.browser


def test_a_visit_is_put_on_its_day_and_taken_back(served, open_page, demo_folder: Path, tmp_path: Path):
    phone = open_page(served(Path(shutil.copytree(demo_folder, tmp_path / "demo"))), size=PHONE)
    phone.goto("/hulls/2/states/7")
    phone.click("text=It was otherwise")
    phone.click("text=It was on another day")
    phone.fill("[name=at]", "2026-05-05T10:00")
    phone.click("button.go")
    expect(phone.locator("main")).to_contain_text("Nothing is saved yet")
    expect(phone.locator("main")).to_contain_text("Build states 6 and 7 give way")
    expect(phone.locator("main")).to_contain_text("Two Herons, run 4 of 17 May 2026")
    phone.fill("[name=why]", "the calendar says so")
    phone.click("button.go")
    expect(phone.locator("main")).to_contain_text("Replaced by build state 8")
    phone.click("text=Take it back")
    expect(phone.locator("h1")).to_contain_text("Taken back:")
    phone.goto("/hulls/2/states/8")
    expect(phone.locator("main")).to_contain_text("Replaced by build state 11")
