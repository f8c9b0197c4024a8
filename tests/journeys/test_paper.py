"""What goes to the printer: sheets for the pit and for rebuilding a boat, on as little A4 as can be read."""

import shutil
from pathlib import Path

import httpx
import pytest

pytestmark = pytest.mark.browser


def _sheets_of_paper(page, path: str) -> int:
    page.goto(path)
    return page.pdf(format="A4").count(b"/Type /Page\n")


def test_the_pit_sheet_takes_one_side_of_paper_a_boat_and_a_rebuild_sheet_two_at_most(
    served, open_page, demo_folder: Path, tmp_path: Path
):
    address = served(Path(shutil.copytree(demo_folder, tmp_path / "demo")))
    page = open_page(address)
    boats = httpx.get(f"{address}/pit.json").json()["boats"]
    assert len(boats) >= 3
    assert _sheets_of_paper(page, "/pit") == len(boats)
    best = httpx.get(f"{address}/records.json").json()["sections"]
    for run_id in {section["rows"][0]["run"]["id"] for section in best}:
        assert 1 <= _sheets_of_paper(page, f"/runs/{run_id}/rebuild") <= 2, run_id
