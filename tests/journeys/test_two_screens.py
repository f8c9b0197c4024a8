"""Two screens on one run, and a line that breaks: nothing that was typed is lost, on either."""

import shutil
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.journeys.conftest import DESK, PHONE

pytestmark = pytest.mark.browser
EDIT = "/runs/227/edit"


@pytest.fixture
def garage(served, demo_folder: Path, tmp_path: Path) -> str:
    return served(Path(shutil.copytree(demo_folder, tmp_path / "demo")))


def test_an_open_form_hears_of_the_other_screen_and_saves_only_its_own(garage, open_page):
    phone, desk = open_page(garage, size=PHONE), open_page(garage, size=DESK)
    with phone.expect_response("**/newest"):
        phone.goto(EDIT)
    desk.goto(EDIT)
    phone.fill("[name=try_next]", "the longer fin")
    desk.fill("[name=note]", "weed at the far end")
    desk.fill("[name=why]", "looked again")
    desk.click("#run-form .thumbed")
    expect(desk).to_have_url(f"{garage}/runs/227")
    expect(phone.locator(".told")).to_contain_text("This page was changed elsewhere")
    expect(phone.locator(".meanwhile [name=note]")).to_be_visible()
    expect(phone.locator("[name=try_next]")).to_have_value("the longer fin")
    phone.fill("[name=why]", "meant all along")
    phone.click("button.go")
    expect(phone).to_have_url(f"{garage}/runs/227")
    desk.reload()
    expect(desk.locator("main")).to_contain_text("weed at the far end")
    expect(desk.locator("main")).to_contain_text("the longer fin")


def test_a_form_that_is_saved_leaves_what_another_tab_typed_last(garage, open_page):
    one = open_page(garage, size=DESK)
    other = one.context.new_page()
    one.goto("/hulls/3/edit")
    other.goto(f"{garage}/hulls/3/edit")
    one.fill("[name=notes]", "from the one")
    other.fill("[name=material]", "typed in the other")
    one.click("#the-form .thumbed, button.go >> visible=true")
    expect(one).to_have_url(f"{garage}/hulls/3")
    other.close()
    one.goto("/hulls/3/edit")
    expect(one.locator("[name=material]")).to_have_value("typed in the other")
    expect(one.locator("[name=notes]")).to_have_value("from the one")


def test_a_row_put_back_is_of_the_boat_that_was_seen_though_another_was_written_meanwhile(garage, open_page):
    one, other = (open_page(garage, size=DESK) for _ in range(2))
    for page in (one, other):
        page.goto("/outings/54/evening")
        page.locator("summary", has_text="Runs not written yet").click()
    seen = one.locator("[name=n1_hull]").input_value()
    one.fill("[name=n1_speed]", "44")
    other.select_option("[name=n1_hull]", "1")
    assert seen != "1"
    other.fill("[name=n1_pack_1]", "J")
    other.fill("[name=n1_prop]", "P1")
    other.click("button:has-text('Save all') >> visible=true")
    expect(other.locator("[name=n1_hull]")).to_have_value("1")
    one.goto("/outings/54/evening")
    expect(one.locator("[name=n1_speed]")).to_have_value("44")
    expect(one.locator("[name=n1_hull]")).to_have_value(seen)


def test_what_a_dead_line_swallowed_waits_on_home_and_is_saved_once(garage, open_page):
    phone = open_page(garage, size=PHONE)
    phone.goto(EDIT)
    phone.fill("[name=note]", "typed at the pond")
    phone.fill("[name=why]", "seen later")
    phone.route(
        "**/runs/227/edit", lambda route: route.abort() if route.request.method == "POST" else route.continue_()
    )
    phone.click("button.go")
    phone.wait_for_url("chrome-error://**")
    phone.unroute("**/runs/227/edit")
    phone.goto(f"{garage}/")
    phone.get_by_text("Put it back").click()
    expect(phone.locator(".draft")).to_contain_text("never saved")
    expect(phone.locator("[name=note]")).to_have_value("typed at the pond")
    phone.click("button.go")
    expect(phone).to_have_url(f"{garage}/runs/227")
    expect(phone.locator("main")).to_contain_text("typed at the pond")
    phone.goto(f"{garage}/")
    expect(phone.locator("[data-drafts]")).to_be_hidden()
