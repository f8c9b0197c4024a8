"""A puffed pack is not picked by accident, on a phone without script, and what was typed stays."""

import pytest

from garage.db.engine import writing
from garage.packs.tables import Pack
from tests.journeys.conftest import PHONE, serious_faults
from tests.seeded import at, inventory

pytestmark = pytest.mark.browser


@pytest.fixture
def address(make_app, served, tmp_path):
    """A garage with an outing and pack J puffed."""
    with writing(make_app(tmp_path).state.engine) as session:
        garage = inventory(session)
        garage.run(garage.outing("05-03"), at("05-03", "09:20"))
        session.get(Pack, garage.packs["J"]).damage = "puffed: one corner"
    return served(tmp_path)


@pytest.mark.parametrize("javascript", [False, True], ids=["no script", "script"])
def test_a_puffed_pack_runs_only_with_an_explicit_tick(address, open_page, javascript):
    page = open_page(f"{address}/runs/new?hull=1&outing=1", size=PHONE, javascript=javascript)
    offered = page.locator("#f-pack label, select[name=pack_more] option").all_inner_texts()
    assert len(offered) > 1 and not any(text.split()[0] == "J" for text in offered if text)
    page.locator("summary", has_text="Another pack").click()
    page.fill("[name=pack_code_1]", "J")
    page.fill("[name=speed]", "71.5")
    page.fill("[name=note]", "as typed")
    page.locator("button:visible", has_text="Save run").first.click()
    page.locator("#e-pack_anyway", has_text="Pack J: puffed: one corner").wait_for()
    assert page.input_value("[name=speed]") == "71.5" and page.input_value("[name=note]") == "as typed"
    assert page.input_value("[name=pack_code_1]") == "J"
    page.locator("[name=pack_anyway]").check()
    page.locator("button:visible", has_text="Save run").first.click()
    page.wait_for_url("**/runs/2")


def test_pages_of_a_pack_have_no_serious_fault_of_access(address, open_page):
    for path in ("", "/ageing", "/did", "/log", "/label"):
        assert serious_faults(open_page(f"{address}/packs/1{path}", size=PHONE)) == []
    assert serious_faults(open_page(f"{address}/packs/which?hull=1", size=PHONE)) == []
