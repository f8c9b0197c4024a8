"""Something written wrong is put right in a browser: chosen, looked at, saved, taken back."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.journeys.conftest import DESK, PHONE

# The page, the way, what is picked or ticked in the form, and what the run or outing says then.
JOURNEYS = {
    "a pack": ("run", "It was another pack", {"Pack": "J · 4S 5\u202f300 mAh"}, [], "made with pack J"),
    "a place": ("run", "It began at another time", {}, ["Nobody looked at the clock"], "nobody looked at the clock"),
    "a water": ("outing", "It was another water", {"The water it really was": "Low Quarry Pool"}, [], "The water was"),
}
_WIDE = [
    pytest.param(
        name, size, javascript, marks=() if (name, size, javascript) == ("a pack", PHONE, True) else pytest.mark.long
    )
    for name in JOURNEYS
    for size in (PHONE, DESK)
    for javascript in (True, False)
]


@pytest.mark.browser
@pytest.mark.parametrize(("name", "size", "javascript"), _WIDE)
def test_it_was_otherwise_is_looked_at_saved_and_taken_back(
    demo_folder: Path, tmp_path: Path, served: Callable, open_page: Callable[..., Page], name: str, size, javascript
):
    kind, way, picked, ticked, said = JOURNEYS[name]
    folder = Path(shutil.copytree(demo_folder, tmp_path / "garage"))
    page = open_page(served(folder), size=size, javascript=javascript)
    page.goto("/runs/226" if kind == "run" else "/outings/54")
    page.get_by_role("link", name="It was otherwise").first.click()
    page.get_by_role("link", name=way).click()
    for label, option in picked.items():
        page.get_by_label(label, exact=False).first.select_option(label=option)
    for label in ticked:
        page.get_by_label(label).check()
    _press(page, "See it first" if size == PHONE else "See what would come of it")
    expect(page.get_by_text("Nothing is saved yet")).to_be_visible()
    page.get_by_label("Why").fill("wrote it down in the evening")
    _press(page, "Save it so")
    notice = page.get_by_role("status")
    expect(notice).to_contain_text(said)
    notice.get_by_role("button", name="Take it back").click()
    expect(page.get_by_role("status")).to_contain_text("Taken back")


def _press(page: Page, name: str) -> None:
    """The button that is in sight: on a phone the one at the thumb."""
    page.get_by_role("button", name=name).and_(page.locator(":visible")).first.click()
