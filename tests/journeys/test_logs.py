"""A log from the file chooser to the run's speed, at the desk and on a phone, with scripts and without."""

import re
import threading
from pathlib import Path

import pytest

from garage.db.engine import open_engine, writing
from garage.logs import intake
from garage.logs.readers.opening import open_to_read
from garage.paths import DATABASE_NAME
from tests.journeys.conftest import DESK, PHONE, serious_faults
from tests.logs.made import gpx, there_and_back
from tests.seeded import at, inventory

pytestmark = pytest.mark.browser


@pytest.fixture
def garage(make_app, served, tmp_path: Path) -> str:
    """The address of a garage with one run that has no speed yet."""
    folder = tmp_path / "garage"
    make_app(folder)
    with writing(open_engine(folder / DATABASE_NAME)) as session:
        made = inventory(session)
        outing = made.outing("05-03")
        made.run(outing, at("05-03", "09:20"), speed_kmh=None, speed_how="", ways="", averaging_s=None, passes=None)
    return served(folder)


@pytest.fixture
def log_file(tmp_path: Path) -> Path:
    track = there_and_back(25, 10).track(place_sd=0.02, speed_sd=0.05)
    track.speed_ms[100] = 60.0
    path = tmp_path / "one.gpx"
    path.write_text(gpx(track))
    return path


@pytest.mark.parametrize(
    ("size", "javascript"), [(DESK, True), (PHONE, False), pytest.param(PHONE, True, marks=pytest.mark.long)]
)
def test_a_log_becomes_the_speed_of_its_run(garage, log_file, open_page, size, javascript):
    page = open_page(f"{garage}/runs/1/logs", size=size, javascript=javascript)
    page.locator("input[name=log_files]").set_input_files(log_file)
    page.get_by_role("button", name="Read the files").click()
    page.get_by_role("link", name="Piece 1").click()
    page.get_by_role("button", name="as the run's speed").first.click()
    page.wait_for_url(f"{garage}/runs/1")
    assert "both ways" in page.locator("main").inner_text()
    assert page.locator(".figure").first.inner_text().startswith("90")


def test_a_span_drawn_across_the_speed_is_looked_at_closer_and_the_plan_follows(garage, log_file, open_page):
    page = open_page(f"{garage}/runs/1/logs")
    page.locator("input[name=log_files]").set_input_files(log_file)
    page.get_by_role("button", name="Read the files").click()
    page.get_by_role("link", name="Piece 1").click()
    trace = page.locator("[data-trace]")
    trace.scroll_into_view_if_needed()
    box = trace.bounding_box()
    page.mouse.move(box["x"] + 200, box["y"] + 80)
    page.locator("[data-plan] [data-mark=dot]").wait_for()
    assert "km/h" in page.locator(".readout").inner_text()
    page.mouse.down()
    page.mouse.move(box["x"] + 400, box["y"] + 80, steps=4)
    page.mouse.up()
    page.locator("[data-trace]:not([data-from='0.000'])").wait_for()
    assert page.get_by_role("link", name="All of it").is_visible()


@pytest.mark.parametrize("size", [DESK, PHONE])
def test_the_pages_of_a_log_have_no_serious_fault_and_fit_the_screen(garage, log_file, open_page, size):
    page = open_page(f"{garage}/runs/1/logs", size=size)
    page.locator("input[name=log_files]").set_input_files(log_file)
    page.get_by_role("button", name="Read the files").click()
    page.get_by_role("link", name="Piece 1").wait_for()
    for address in ("/logs", "/logs/1", "/logs/1/pieces/1", "/runs/1/logs", "/outings/1/logs", "/hulls/1/corners"):
        page.goto(garage + address)
        assert serious_faults(page) == []
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0, address


def test_how_far_the_reading_is_stands_below_the_form(garage, log_file, open_page, monkeypatch):
    seen = threading.Event()

    def slowly(part, name, columns):
        with open_to_read(part.path) as file:
            file.read(part.size_bytes // 2)
            seen.wait()
        return read(part, name, columns)

    read = intake._read
    monkeypatch.setattr(intake, "_read", slowly)
    page = open_page(f"{garage}/runs/1/logs")
    page.locator("input[name=log_files]").set_input_files(log_file)
    page.get_by_role("button", name="Read the files").click()
    # Half of the file is read by then, whenever the page asks.
    half = re.compile(r"Reading one\.gpx.*: ([3-9]\d|100) %")
    try:
        page.locator("[data-reading-words]", has_text=half).wait_for()
    finally:
        seen.set()
    page.get_by_role("link", name="Piece 1").wait_for()
