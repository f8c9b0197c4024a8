"""Every kind of page of the demo garage without a script, without motion, and without a mouse."""

import shutil
from pathlib import Path

import pytest
from playwright.sync_api import Page

from tests.journeys.conftest import DESK, PHONE
from tests.journeys.test_every_page import kinds_of_pages

pytestmark = [pytest.mark.browser, pytest.mark.long]

_PARTS_OF_A_DAY = 9
# With all folds open: what is sent has a button that can be pressed, and no words are out of sight for ever. What only
# a choice brings stands in a form; what is for paper or for a reader alone has a class that says so.
_WITHOUT_SCRIPT = """() => {
  document.querySelectorAll("details").forEach((one) => { one.open = true; });
  const inSight = (one) => one.checkVisibility({ visibilityProperty: true });
  const presses = (form) => [...form.elements, ...document.querySelectorAll("nav.thumb button")].some((one) =>
    one.form === form && one.matches("button:not([type=button])") && !one.disabled && inSight(one));
  const unseen = [...document.querySelectorAll("main *")].filter((one) => !inSight(one) &&
    [...one.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.data.trim()) &&
    !one.closest("form, script, style, option, template, thead, svg, .on-paper, .sr-only, .thumbed, [data-drafts]"));
  return {
    says: document.querySelector("main").innerText.trim().length,
    head: document.querySelector("h1")?.innerText.trim() ?? "",
    stuck: [...document.forms].filter((form) => inSight(form) && !presses(form)).map((form) => form.action),
    unseen: unseen.map((one) => one.tagName + " " + one.className + " " + one.textContent.trim().slice(0, 40)),
  };
}"""
_MOVING = """() => [...document.querySelectorAll("*")].filter((one) => {
  const style = getComputedStyle(one);
  return style.animationName !== "none" || /[1-9]/.test(style.transitionDuration) || style.scrollBehavior === "smooth";
}).map((one) => one.tagName + " " + one.className)"""
_KEYBOARD = (Path(__file__).parent / "keyboard.js").read_text()


@pytest.fixture
def demo_address(served, demo_folder: Path, tmp_path: Path) -> str:
    return served(Path(shutil.copytree(demo_folder, tmp_path / "demo")))


def test_every_kind_of_page_says_all_and_sends_all_without_a_script(demo_address: str, open_page):
    page, faults = open_page(demo_address, size=PHONE, javascript=False), []
    for path in kinds_of_pages(demo_address):
        page.goto(path)
        seen = page.evaluate(_WITHOUT_SCRIPT)
        faults += [f"{path}: says nothing"] if not seen["head"] or seen["says"] < 20 else []
        faults += [f"{path}: no button for {action}" for action in seen["stuck"]]
        faults += [f"{path}: never in sight: {words}" for words in seen["unseen"][:2]]
    assert not faults, "\n".join(faults)


def test_on_no_kind_of_page_anything_moves_for_who_wants_it_still(demo_address: str, open_page):
    page, faults = open_page(demo_address, size=PHONE, reduced_motion="reduce"), []
    for path in kinds_of_pages(demo_address):
        page.goto(path)
        faults += [f"{path}: {one}" for one in page.evaluate(_MOVING)[:2]]
        faults += [f"{path}: an animation runs"] if page.evaluate("document.getAnimations().length") else []
    assert not faults, "\n".join(faults)


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_the_keyboard_reaches_all_of_every_kind_of_page_in_order_and_in_sight(demo_address: str, open_page, size: dict):
    page, faults = open_page(demo_address, size=size), []
    for path in kinds_of_pages(demo_address):
        page.goto(path)
        faults += [f"{path}: {fault}" for fault in (_walked_by_tab(page) + _folds_by_key(page))[:3]]
    assert not faults, "\n".join(faults)


def _walked_by_tab(page: Page) -> list[str]:
    """What the Tab key passes over, meets in another order, or does not show that it is there."""
    there = page.evaluate(_KEYBOARD)
    for _ in range(len(there["names"]) + _PARTS_OF_A_DAY * there["parts"]):
        page.keyboard.press("Tab")
    focused = page.evaluate("window.focused")
    met = list(dict.fromkeys(stop for stop, _, _ in focused))
    faults = [f"not reached: {name}" for stop, name in enumerate(there["names"]) if stop not in met]
    faults += [f"out of order: {met}"] if not faults and met[: len(there["names"])] != sorted(met) else []
    return faults + [f"focus not in sight: {name}" for _, name, seen in focused if not seen]


def _folds_by_key(page: Page) -> list[str]:
    """Whether Enter opens the first fold and closes it, and Escape leaves it as it is."""
    fold = page.locator("main details:visible").first
    if not fold.count():
        return []
    told = [fold.evaluate("fold => fold.open")]
    fold.locator("summary").first.focus()
    for key in ("Enter", "Escape", "Enter"):
        page.keyboard.press(key)
        told.append(fold.evaluate("fold => fold.open"))
    was = told[0]
    return [] if told == [was, not was, not was, was] else [f"a fold by keys: {told}"]
