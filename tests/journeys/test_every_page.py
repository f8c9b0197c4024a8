"""Every kind of page of the demo garage, opened in Chromium: nothing serious for axe, nothing wider than the screen."""

import re
import shutil
from collections import deque
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import Page

from tests.durability.served import PATIENCE_S
from tests.forms import read_page
from tests.journeys.conftest import DESK, PHONE, serious_faults

pytestmark = pytest.mark.browser


def _kind(address: str) -> str:
    return re.sub(r"\d+", "N", address.split("?")[0])


def kinds_of_pages(address: str) -> list[str]:
    """One address of each kind of page that can be reached from Home."""
    client = httpx.Client(base_url=address, timeout=PATIENCE_S)
    found, waiting, seen = {}, deque(["/"]), {"/"}
    while waiting:
        path = waiting.popleft()
        if _kind(path) in found:
            continue
        answer = client.get(path)
        if answer.status_code != 200 or not answer.headers["content-type"].startswith("text/html"):
            continue
        found[_kind(path)] = path
        for link in read_page(answer.text, path)[1]:
            if link not in seen:
                seen.add(link)
                waiting.append(link)
    return list(found.values())


# Texts in sight below 16 px, outside drawings; what room is lit, and where the page says that it lies.
_LOOK = """() => {
  const small = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const text = walker.currentNode, holder = text.parentElement;
    if (!text.data.trim() || holder.closest("script, style, option, svg, .sr-only")) continue;
    if (!holder.checkVisibility()) continue;
    const size = parseFloat(getComputedStyle(holder).fontSize);
    if (size < 16) small.push(`${size} px: ${text.data.trim().slice(0, 40)}`);
  }
  return {
    small, height: document.documentElement.scrollHeight,
    room: document.querySelectorAll("header.top nav [aria-current]").length,
    crumb: document.querySelector(".crumb").textContent.trim(),
  };
}"""
# No page is taller on a phone, but for sheets that are printed, long forms, and lists of what cannot be folded yet.
MOST_TALL_PX = 4000
MAY_BE_TALLER = re.compile(
    r"/pit|/packs/labels|/packs/N/did|/runs/N/edit|/props/N|/packs/N|/records|/logs/N/pieces/N|/hulls/N(/states/N|/findings)?"
    r"|/bench/what-if|/data(/.*)?"
)


def _looks_wrong(page: Page, path: str, size: dict) -> list[str]:
    seen = page.evaluate(_LOOK)
    faults = [f"{path}: {text}" for text in seen["small"][:3]]
    faults += [f"{path}: {seen['room']} rooms are lit"] if seen["room"] != 1 else []
    faults += [] if seen["crumb"] else [f"{path}: says not where it lies"]
    if size == PHONE and seen["height"] > MOST_TALL_PX and not MAY_BE_TALLER.fullmatch(_kind(path)):
        faults.append(f"{path}: {seen['height']} px tall")
    return faults


def _too_wide(page: Page, size: dict) -> list[str]:
    width = page.evaluate("document.documentElement.scrollWidth")
    return [f"{page.url} is {width} wide on a screen of {size['width']}"] if width > size["width"] else []


# The width is looked at on both; axe takes most of the time, and looks at the desk's in the long set.
@pytest.mark.parametrize("size", [PHONE, pytest.param(DESK, marks=pytest.mark.long)], ids=["phone", "desk"])
def test_no_kind_of_page_has_a_serious_fault(served, open_page, demo_folder: Path, tmp_path: Path, size: dict):
    address = served(Path(shutil.copytree(demo_folder, tmp_path / "demo")))
    pages = kinds_of_pages(address)
    assert len(pages) > 40
    page = open_page(address, size=size)
    faults = []
    for path in pages:
        page.goto(path)
        faults += serious_faults(page) + _too_wide(page, size) + _looks_wrong(page, path, size)
        page.set_viewport_size(DESK)
        faults += _too_wide(page, DESK) + _looks_wrong(page, path, DESK)
        page.set_viewport_size(size)
    assert faults == []


def test_the_name_of_the_page_one_is_on_is_in_sight_on_a_phone(served, open_page, tmp_path: Path):
    page = open_page(served(tmp_path), size=PHONE)
    for path in ("/", "/packs", "/findings", "/stock"):
        page.goto(path)
        place = page.locator(".crumb > :first-child").bounding_box()
        assert place is not None and place["x"] >= 0 and place["x"] + place["width"] <= PHONE["width"], path
