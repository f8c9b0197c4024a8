"""Every kind of page of the demo garage, opened in Chromium: nothing for axe, nothing too wide or tall, nothing hard to
read (`reading.js`)."""

import re
import shutil
from collections import deque
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import Page

from tests.durability.served import PATIENCE_S
from tests.forms import read_page
from tests.journeys.conftest import AXE, DESK, PHONE, serious_faults

pytestmark = pytest.mark.browser


def _kind(address: str) -> str:
    return re.sub(r"\d+", "N", address.split("?")[0])


def kinds_of_pages(address: str) -> list[str]:
    """One address of each kind of page that can be reached from Home."""
    client = httpx.Client(base_url=address, timeout=PATIENCE_S)
    found, files, waiting, seen = {}, set(), deque(["/"]), {"/"}
    while waiting:
        path = waiting.popleft()
        if _kind(path) in found or _kind(path) in files:
            continue
        answer = client.get(path)
        if answer.status_code != 200:
            continue
        if not answer.headers["content-type"].startswith("text/html"):
            files.add(_kind(path))
            continue
        found[_kind(path)] = path
        for link in read_page(answer.text, path)[1]:
            if link not in seen:
                seen.add(link)
                waiting.append(link)
    return list(found.values())


# All that is told of a page at one size, asked at once: what is hard to read, how tall and wide it is, what room is
# lit, where the page says that it lies; what slides sideways (nothing may); and which rows take more than a line at the
# desk, but for those that are filled in or have a name too long for their column.
_LOOK = f"""() => ({{
  unread: ({(Path(__file__).parent / "reading.js").read_text().strip()})(),
  height: document.documentElement.scrollHeight, width: document.documentElement.scrollWidth,
  room: document.querySelectorAll("header.top nav [aria-current]").length,
  crumb: document.querySelector(".crumb").textContent.trim(),
  loose: document.querySelector("main form.form[method=post]:not([action], .noprint)") !== null
    && document.querySelector(".go[href='/runs/new']") !== null,
  slides: [...document.querySelectorAll("main *")].filter((one) => one.scrollWidth > one.clientWidth + 1 &&
    ["auto", "scroll"].includes(getComputedStyle(one).overflowX) && one.checkVisibility() &&
    !one.matches("input, textarea, select")).map((one) => one.tagName + " " + one.className),
  broken: [...document.querySelectorAll("table.lines tbody tr")].filter((row) => row.checkVisibility() &&
    !row.querySelector(".long, select, dl") && row.getBoundingClientRect().height > 50).map((row) => row.textContent),
}})"""
# A desk looked at with everything twice as large, and a tablet held upright.
ZOOMED = {"width": 640, "height": 450}
MIDDLE = {"width": 820, "height": 1180}
# How the person's screen is set; a screen of its own colours is chosen in the notebook.
LIGHT, DARK, FORCED = {"color_scheme": "light"}, {"color_scheme": "dark"}, {"forced_colors": "active"}
BRIGHT, WATER = {"screen": "bright"}, {"screen": "water"}
# No page is taller on a phone: what is not asked first is folded.
MOST_TALL_PX = 4000


def _looks_wrong(page: Page, path: str, size: dict) -> list[str]:
    """What is wrong with the page that is open, on a screen of this size."""
    if page.viewport_size != size:
        page.set_viewport_size(size)
    seen = page.evaluate(_LOOK)
    faults = seen["unread"][:4]
    faults += [f"{seen['room']} rooms are lit"] if seen["room"] != 1 else []
    faults += ["the act of its form is not at the thumb"] if seen["loose"] else []
    faults += [] if seen["crumb"] else ["says not where it lies"]
    faults += [f"{seen['width']} px wide"] if seen["width"] > size["width"] else []
    faults += [f"{seen['height']} px tall"] if size == PHONE and seen["height"] > MOST_TALL_PX else []
    faults += [f"slides: {one}" for one in seen["slides"][:2]]
    faults += [f"takes more than a line: {row[:60]}" for row in seen["broken"][:1]] if size == DESK else []
    return [f"{path} at {size['width']}: {fault}" for fault in faults]


# Axe takes most of the time, and looks at the first size alone; it stands ready in each page before the page does. Of
# sizes and settings the long set has all others, and axe's own reading of contrast.
@pytest.mark.parametrize(
    ("screen", "sizes", "also_contrast"),
    [
        pytest.param(LIGHT, [PHONE, MIDDLE, DESK], False, id="light"),
        pytest.param(LIGHT, [DESK, ZOOMED], True, id="light, other sizes", marks=pytest.mark.long),
        *(
            pytest.param(screen, [PHONE, DESK, MIDDLE, ZOOMED], True, id=name, marks=pytest.mark.long)
            for name, screen in [("dark", DARK), ("forced", FORCED), ("bright", BRIGHT), ("water", WATER)]
        ),
    ],
)
def test_every_kind_of_page_can_be_read(
    served, open_page, demo_folder: Path, tmp_path: Path, screen: dict, sizes: list[dict], also_contrast: bool
):
    address = served(Path(shutil.copytree(demo_folder, tmp_path / "demo")))
    pages = kinds_of_pages(address)
    assert len(pages) > 40
    page = open_page(address, size=sizes[0], **screen)
    page.context.add_init_script(path=AXE)
    faults = []
    for path in pages:
        page.set_viewport_size(sizes[0])
        page.goto(path)
        faults += serious_faults(page, also_contrast=also_contrast)
        for size in sizes:
            faults += _looks_wrong(page, path, size)
    assert not faults, "\n".join(faults)


def test_the_name_of_the_page_one_is_on_is_in_sight_on_a_phone(served, open_page, tmp_path: Path):
    page = open_page(served(tmp_path), size=PHONE)
    for path in ("/", "/packs", "/findings", "/stock"):
        page.goto(path)
        place = page.locator(".crumb > :first-child").bounding_box()
        assert place is not None and place["x"] >= 0 and place["x"] + place["width"] <= PHONE["width"], path
