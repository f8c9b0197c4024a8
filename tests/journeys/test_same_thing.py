"""A pack that was written down twice, on a phone: noticed, joined, parted again."""

import re
import shutil
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import expect

from tests.journeys.conftest import PHONE


def test_a_pack_written_twice_is_noticed_joined_and_parted(
    demo_folder: Path, tmp_path: Path, served: Callable, open_page: Callable
):
    page = open_page(served(Path(shutil.copytree(demo_folder, tmp_path / "garage"))), size=PHONE)
    page.goto("/packs/new")
    page.get_by_label("Code").first.fill(" a .")
    page.get_by_label("Cells in series").fill("4")
    page.get_by_label("Capacity", exact=False).first.fill("4321")
    page.locator(".go").click()
    page.get_by_role("link", name="The same?").click()
    page.locator(".go").click()
    expect(page.get_by_text("They differ: choose which is true.").first).to_be_visible()
    for choice in page.locator("select").all():
        if not choice.input_value():
            choice.select_option(index=1)
    page.locator(".go").click()
    expect(page.get_by_text("Nothing is saved yet")).to_be_visible()
    page.locator(".go").click()
    expect(page).to_have_url(re.compile("/packs/[0-9]+$"))
    expect(page.get_by_text("is the same, written down twice")).to_be_visible()
    page.get_by_role("button", name="Take it back").first.click()
    expect(page.get_by_text("is the same, written down twice")).to_have_count(0)
