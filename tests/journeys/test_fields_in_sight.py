"""How many fields of a form are in sight on a phone before anything is pressed or typed."""

import shutil
from pathlib import Path

import pytest
from playwright.sync_api import Page

from tests.journeys.conftest import PHONE

pytestmark = pytest.mark.browser

# The most that may be in sight on opening, by form. Ticks for things that there are count as fields.
MOST = {
    "/runs/new?hull=1": 9,
    "/packs/new": 6,
    "/packs/1/readings": 11,
    "/packs/1/log": 6,
    "/packs/log": 18,
    "/hulls/1/modifications/new": 6,
    "/modifications/1/steps/new": 5,
    "/hulls/1/changes/new": 6,
    "/outings/new": 12,
    "/hulls/new": 12,
    "/props/new": 11,
    "/waters/new": 6,
}
_IN_SIGHT = """() => new Set([...document.querySelectorAll("main form[method=post] :is(input, select, textarea)")]
  .filter((part) => part.type !== "hidden" && part.checkVisibility()).map((part) => part.name)).size"""


def test_a_form_opens_with_few_fields_and_what_is_typed_stays_in_sight(
    served, open_page, demo_folder: Path, tmp_path: Path
):
    page = open_page(served(Path(shutil.copytree(demo_folder, tmp_path / "demo"))), size=PHONE, javascript=False)
    seen = {}
    for address in MOST:
        page.goto(address)
        seen[address] = page.evaluate(_IN_SIGHT)
    assert 0 not in seen.values()
    assert {address: count for address, count in seen.items() if count > MOST[address]} == {}
    _what_was_typed_stays_whatever_kind_of_step_is_chosen(page)


def _what_was_typed_stays_whatever_kind_of_step_is_chosen(page: Page) -> None:
    page.goto("/modifications/1/steps/new")
    for kind, piece, glue in (("cut", True, False), ("bond", True, True), ("drill", False, False)):
        page.select_option("#f-action", kind)
        assert page.is_visible("#f-material") == piece and page.is_visible("text=Glue and finish") == glue, kind
    page.select_option("#f-action", "cut")
    page.select_option("#f-section", "rectangle")
    page.fill("#f-width", "12")
    page.select_option("#f-section", "round")
    page.select_option("#f-action", "drill")
    assert page.is_visible("#f-width") and not page.is_visible("#f-wall")
