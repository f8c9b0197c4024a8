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
    for name, text in (("code", "a ."), ("cells_s", "4"), ("capacity", "4321")):
        page.locator(f"#f-{name}").fill(text)
    page.locator(".go").click()
    page.get_by_role("link", name="The same?").click()
    expect(page.locator("#f-fact_capacity")).to_be_visible()
    page.locator(".go").click()
    expect(page.get_by_text("Nothing is saved yet")).to_be_visible()
    page.locator(".go").click()
    expect(page).to_have_url(re.compile("/packs/[0-9]+$"))
    expect(page.get_by_text("is the same, written down twice")).to_be_visible()
    page.get_by_role("button", name="Take it back").first.click()
    expect(page.get_by_role("heading", name="Taken back:")).to_be_visible()
