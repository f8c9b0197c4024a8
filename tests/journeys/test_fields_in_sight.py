"""How many fields of a form are in sight on a phone before anything is pressed or typed."""

import shutil
from pathlib import Path

import pytest

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


def test_a_form_opens_with_few_fields_in_sight(served, open_page, demo_folder: Path, tmp_path: Path):
    page = open_page(served(Path(shutil.copytree(demo_folder, tmp_path / "demo"))), size=PHONE, javascript=False)
    seen = {}
    for address in MOST:
        page.goto(address)
        seen[address] = page.evaluate(_IN_SIGHT)
    assert 0 not in seen.values()
    assert {address: count for address, count in seen.items() if count > MOST[address]} == {}
