"""From an empty folder to "which setup made that speed?", as a person does it.

Phone and desk, with script and without.
"""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.journeys.conftest import DESK, PHONE, serious_faults

pytestmark = pytest.mark.browser

STEPS = [
    {
        "action": "mark out",
        "what": "a pair of tabs on 1 mm brass sheet",
        "material": "Brass, sheet",
        "section": "sheet",
        "width": "30 mm",
        "height": "1",
        "length": "4 cm",
        "count": "2",
        "minutes": "15",
    },
    {"action": "cut", "what": "both tabs, edges deburred", "minutes": "20"},
    {"action": "bend", "what": "to 3°, over a square bar"},
    {"action": "drill", "what": "two holes each, 2.5 mm"},
    {"action": "fit", "what": "screwed down on sealant", "adhesive": "silicone sealant", "cure": "24 h"},
]


def _fill(page: Page, fields: dict[str, str]) -> None:
    """Fill a form by the names of its fields, opening what is folded away."""
    for name, value in fields.items():
        part = page.locator(f"main [name={name}]").first
        if not part.is_visible():
            part.locator("xpath=ancestor::details[not(@open)]/summary").first.click()
        if part.evaluate("part => part.tagName") == "SELECT":
            part.select_option(value)
        elif part.get_attribute("type") in ("radio", "checkbox"):
            page.locator(f"main [name={name}][value='{value}']").check()
        else:
            part.fill(value)


def _save(page: Page, label: str = "^Save|Begin the outing") -> None:
    """Press the button of the form, at the thumb or on the page, whichever is there."""
    buttons = page.get_by_role("button", name=re.compile(label)).locator("visible=true")

    def answered(request) -> bool:
        return request.is_navigation_request() and (request.method == "GET" or request.response().status != 303)

    with page.expect_event("requestfinished", answered):
        buttons.first.click()
    page.wait_for_load_state()


# Each width and each way once; the long set goes the other two as well.
@pytest.mark.parametrize(
    ("size", "javascript"),
    [
        pytest.param(PHONE, True, id="phone-script"),
        pytest.param(DESK, False, id="desk-no script"),
        pytest.param(PHONE, False, id="phone-no script", marks=pytest.mark.long),
        pytest.param(DESK, True, id="desk-script", marks=pytest.mark.long),
    ],
)
def test_from_an_empty_folder_to_the_setup_that_made_the_speed(served, open_page, tmp_path, size, javascript):
    page = open_page(served(tmp_path / "garage"), size=size, javascript=javascript)
    faults: list[str] = []

    def looked_at(*, heading: str | None = None) -> None:
        if heading:
            expect(page.get_by_role("heading", level=1)).to_contain_text(heading)
        width = page.evaluate("document.documentElement.scrollWidth")
        assert width <= size["width"], f"{page.url} is {width} wide"
        if javascript:
            faults.extend(serious_faults(page))

    # The empty garage teaches where to begin.
    looked_at()
    page.goto("/hulls")
    page.get_by_role("link", name="Add a hull").locator("visible=true").first.click()
    _fill(page, {"name": "Quince", "kind": "mono", "length": "27 in", "beam": "20,5 cm", "built_on": "2026-01-03"})
    _save(page)
    looked_at(heading="Quince")

    # A modification in five steps.
    page.goto("/hulls/1/modifications/new")
    _fill(page, {"title": "Trim tabs", "purpose": "Hold the bow down", "expected": "No porpoising, 1 km/h faster"})
    looked_at()
    _save(page)
    for step in STEPS:
        page.goto("/modifications/1/steps/new")
        _fill(page, step)
        _save(page)
    page.goto("/modifications/1")
    looked_at(heading="Trim tabs")
    expect(page.locator("main")).to_contain_text("screwed down on sealant")
    # 2 x 30 x 1 x 40 mm of brass at 8.53 g/cm3.
    expect(page.locator("main")).to_contain_text("20.5")
    page.goto("/modifications/1/sheet")
    looked_at()

    # Fitting it makes the next build state.
    page.goto("/modifications/1/fit")
    looked_at()
    for box in page.locator("main [name=done]").all():
        box.check()
    _save(page, "Fit")
    expect(page.locator("main")).to_contain_text("fitted")
    page.goto("/hulls/1/states/2")
    looked_at(heading="2")
    expect(page.locator("main")).to_contain_text("Trim tabs")

    # Two packs, one used and one fresh; a prop.
    for code, before in (("A", "30"), ("B", "0")):
        page.goto("/packs/new")
        _fill(page, {"code": code, "cells_s": "4", "capacity": "5 Ah", "charges_before": before})
        looked_at()
        _save(page)
    page.goto("/props/new")
    _fill(page, {"code": "P1", "size": "42 x 58"})
    _save(page)
    looked_at()

    # A day on the water: four runs on two packs.
    page.goto("/outings/new")
    _fill(page, {"new_water": "Hollow Mere", "air": "14", "wind": "3 m/s"})
    looked_at()
    _save(page)
    page.goto("/runs/new?hull=1")
    looked_at()
    _fill(page, {"pack": "1", "prop_single": "1", "speed": "54.2", "speed_how": "display", "note": "Steady"})
    _save(page)
    for pack, speed in (("2", "52,9"), ("1", "35 mph"), ("2", "55.1")):
        page.goto("/runs/new?hull=1")
        _fill(page, {"pack": pack, "speed": speed, "note": "As before"})
        _save(page)
        looked_at()

    # Months later: the record, the page to build that boat again, and what was different before.
    page.goto("/records")
    looked_at()
    expect(page.locator("main")).to_contain_text("56.3")
    page.get_by_role("link", name="Rebuild sheet", exact=False).locator("visible=true").first.click()
    looked_at()
    expect(page.locator("main")).to_contain_text("Trim tabs")
    expect(page.locator("main")).to_contain_text("42 x 58")
    page.goto("/hulls/1/states/1/against/2")
    looked_at()
    expect(page.locator("main")).to_contain_text("Trim tabs")
    assert faults == []
