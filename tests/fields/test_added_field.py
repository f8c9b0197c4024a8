"""A field is said in two places: a line in the list of its thing, and a migration. Everything else follows."""

import csv
import json
import os
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from garage.db.migrate import HEAD
from garage.paths import DATABASE_NAME

ROOT = Path(__file__).parents[2]
COPIED = ("garage", "migrations", "templates", "static", "shared")
OF_A_HULL = """
    Field("draught", "Draught", "length", "at rest", 1, 500, asked="size", origin="measured"),
    Field("moulded_by", "Moulded by", searched="text"),
"""
OF_AN_EDITION = """
    Field("rake", "Rake", "angle", "of the blades", -30, 45, origin="measured"),
"""
OF_A_RUN = """
    RunField("wave", "Wave height", "length", "trough to crest", 0, 500, asked="more, evening", origin="judged",
        missed="the wave height", carried=True, headings=("wave height",)),
    RunField("launched_by", "Launched by", asked="more", searched="text"),
"""
OF_A_STEP = """
    Field("grit", "Grit of the paper", "whole", low=8, high=5000),
    Field("masked", "Masked", "yes/no"),
"""
OF_A_PACK = """
    Field("lead", "Leads", "length", "each", 1, 2000, asked="known", origin="measured"),
"""
OF_A_LOG_ENTRY = """
    Field("charger", "Charger"),
"""
OF_A_PART = """
    Field("winding", "Winding", searched="text"),
"""
OF = (
    ("hulls", "FIELDS", OF_A_HULL),
    ("props", "EDITION_FIELDS", OF_AN_EDITION),
    ("modifications", "STEP_FIELDS", OF_A_STEP),
    ("packs", "FIELDS", OF_A_PACK),
    ("packs", "LOG_FIELDS", OF_A_LOG_ENTRY),
    ("drives", "FIELDS", OF_A_PART),
    ("runs", "FIELDS", OF_A_RUN),
)
MIGRATION = f'''
import sqlalchemy as sa
from alembic import op

revision, down_revision, branch_labels, depends_on = "{int(HEAD) + 1:04d}", "{HEAD}", None, None


def upgrade() -> None:
    with op.batch_alter_table("hull") as hull:
        hull.add_column(sa.Column("draught_mm", sa.Float(), nullable=True))
        hull.add_column(sa.Column("moulded_by", sa.String(), nullable=False, server_default=""))
        hull.create_check_constraint(
            op.f("ck_hull_draught_mm"),
            "draught_mm IS NULL OR (typeof(draught_mm) IN ('integer', 'real')"
            " AND draught_mm >= 1 AND draught_mm <= 500)",
        )
    with op.batch_alter_table("step") as step:
        step.add_column(sa.Column("grit", sa.Integer(), nullable=True))
        step.add_column(sa.Column("masked", sa.Boolean(), nullable=False, server_default=sa.false()))
        step.create_check_constraint(
            op.f("ck_step_grit"),
            "grit IS NULL OR (typeof(grit) IN ('integer', 'real') AND grit >= 8 AND grit <= 5000)",
        )
    with op.batch_alter_table("prop_edition") as edition:
        edition.add_column(sa.Column("rake_deg", sa.Float(), nullable=True))
    with op.batch_alter_table("run") as run:
        run.add_column(sa.Column("wave_mm", sa.Float(), nullable=True))
        run.add_column(sa.Column("launched_by", sa.String(), nullable=False, server_default=""))
    op.add_column("pack", sa.Column("lead_mm", sa.Float(), nullable=True))
    op.add_column("pack_log", sa.Column("charger", sa.String(), nullable=False, server_default=""))
    op.add_column("part", sa.Column("winding", sa.String(), nullable=False, server_default=""))
'''


@pytest.fixture(scope="module")
def source(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The source with two fields more of a hull and of a step, and one of a prop's edition, of a pack, of its log
    and of a part, and two of a run."""
    copy = tmp_path_factory.mktemp("source")
    for name in COPIED:
        shutil.copytree(ROOT / name, copy / name)
    for room, name, lines in OF:
        listed = copy / "garage" / room / "fields.py"
        listed.write_text(listed.read_text().replace(f"\n{name} = (\n", f"\n{name} = ({lines}", 1))
    (copy / "migrations" / "versions" / f"{int(HEAD) + 1:04d}_more_of_a_hull.py").write_text(MIGRATION)
    return copy


@pytest.fixture(scope="module")
def found(source: Path, tmp_path_factory: pytest.TempPathFactory, empty_file: Path) -> dict[str, str]:
    """What stands where, after a hull of an older garage was given its draught."""
    folder = tmp_path_factory.mktemp("garage")
    shutil.copy(empty_file, folder / DATABASE_NAME)
    with sqlite3.connect(folder / DATABASE_NAME) as connection:
        connection.execute(
            "INSERT INTO hull (name, kind, length_mm, material, own_design, screws, fixed_tube, built_on, notes,"
            " retired_on, retired_reason, created_at) VALUES ('Quince', 'mono', 690, 'birch ply', 0, 1, 1, '', '', '',"
            " '', '2026-01-01T00:00:00Z')"
        )
    script = Path(__file__).with_name("look_for_added_field.py")
    done = subprocess.run(
        [sys.executable, "-W", "ignore", script, folder],
        cwd=source,
        env=os.environ | {"PYTHONPATH": str(source)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-3000:]
    return json.loads(done.stdout.splitlines()[-1])


def test_a_garage_from_before_the_field_opens_with_everything_in_it(found):
    assert "birch ply" in found["page before"] and "690" in found["page before"]
    assert "Draught" not in found["page before"]


def test_the_form_asks_for_it_with_its_label_hint_and_unit(found):
    assert '<label for="f-draught">Draught <span class="hint" id="h-draught">mm, at rest</span>' in found["form"]
    assert 'name="moulded_by"' in found["form"]


def test_a_wrong_value_is_said_beside_it(found):
    assert "It must be at most 500 mm." in found["refused"] and 'id="e-draught"' in found["refused"]


def test_the_form_shows_again_what_was_typed(found):
    assert json.loads(found["/hulls/1/edit.json"])["values"]["draught"] == "34.925"
    assert 'value="Thistledown &amp; Co"' in found["/hulls/1/edit"]


def test_the_page_shows_it_with_its_origin(found):
    page = found["/hulls/1"]
    assert '<dt>Draught</dt><dd>34.92<span class="unit">mm</span><span class="origin"> measured</span></dd>' in page
    assert "<dt>Moulded by</dt><dd>Thistledown &amp; Co</dd>" in page


def test_the_representations_have_it(found):
    draught = {"value": 34.925, "unit": "mm", "from": "measured"}
    for row in (json.loads(found["/hulls/1.json"]), json.loads(found["/hulls.json"])["rows"][0]):
        assert row["draught"] == draught and row["moulded_by"] == "Thistledown & Co"


def test_the_table_file_has_it_with_its_unit_in_the_heading(found):
    heading, line = found["/hulls.csv"].lstrip("\ufeff").splitlines()
    cells = dict(zip(heading.split(","), line.split(","), strict=True))
    assert (cells["draught [mm]"], cells["moulded_by"]) == ("34.925", "Thistledown & Co")


def test_its_words_are_found_by_search(found):
    assert "/hulls/1" in found["search"] and "<mark>Thistledown</mark>" in found["search"]


@pytest.mark.parametrize("kind", ["json", "csv"])
def test_the_export_has_it(found, kind):
    assert "draught_mm" in found[f"export {kind}"] and "34.925" in found[f"export {kind}"]


def test_a_correction_calls_it_by_its_label_and_tells_its_values_with_their_unit(found):
    assert ": rake was 10°, is 15° (read off the wrong scale)." in found["/props/1"]
    assert '<dt>Rake</dt><dd>15<span class="unit close">°</span>' in found["/props/1"]


@pytest.mark.parametrize("page", ["/runs/new?hull=1", "/runs/1/edit"])
def test_the_forms_of_a_run_ask_for_it(found, page):
    assert '<label for="f-wave">Wave height <span class="hint" id="h-wave">mm, trough to crest</span>' in found[page]
    assert 'name="launched_by"' in found[page]


def test_the_next_run_of_the_boat_begins_with_it(found):
    assert 'name="wave" type="text" value="50.8"' in found["/runs/new?hull=1"]


def test_a_wrong_value_of_a_run_is_said_beside_it_in_form_and_evening_table(found):
    for page, place in (("refused run", "wave"), ("refused cell", "r1_wave")):
        assert "It must be at most 500 mm." in found[page] and f'id="e-{place}"' in found[page]


def test_the_page_of_a_run_shows_it_with_its_origin(found):
    shown = '<dt>Wave height</dt><dd>50.8<span class="unit">mm</span><span class="origin"> judged</span></dd>'
    assert shown in found["/runs/1"] and "<dt>Launched by</dt><dd>Marjoram &amp; Sons</dd>" in found["/runs/1"]


def test_data_and_table_file_of_a_run_have_it(found):
    run = json.loads(found["/runs/1.json"])
    assert run["wave"] == {"value": 50.8, "unit": "mm", "from": "judged"} and run["launched_by"] == "Marjoram & Sons"
    heading, line = found["/runs.csv"].lstrip("\ufeff").splitlines()
    cells = dict(zip(heading.split(","), next(csv.reader([line])), strict=True))
    assert (cells["wave [mm]"], cells["launched_by"]) == ("50.8", "Marjoram & Sons")


def test_the_evening_asks_for_it_and_says_where_it_is_missing(found):
    evening = found["/outings/1/evening"]
    assert 'data-label="Wave height, mm"' in evening
    assert 'name="r1_wave" id="f-r1_wave" value="50.8" aria-label="wave height of run 1"' in evening
    assert 'name="r1_launched_by"' not in evening
    assert "the wave height" in found["run without"] and "the wave height" not in found["corrected run"]


def test_a_correction_of_a_run_tells_it_with_its_unit(found):
    assert 'wave height was <span class="was">50.8 mm</span>, is 63.5 mm (misread)' in found["corrected run"]
    assert "Marjoram &amp; Sons" in found["corrected run"]


def test_a_spreadsheet_of_past_runs_may_hold_it(found):
    assert json.loads(found["run of old"])["wave"]["value"] == 40


def test_search_and_export_have_what_was_written_of_a_run(found):
    assert "/runs/1" in found["search run"] and "<mark>Marjoram</mark>" in found["search run"]
    assert "wave_mm" in found["export run"] and "63.5" in found["export run"]


def test_the_rows_of_the_library_have_it(found):
    rows = json.loads(found["library"])
    assert {(row["draught_mm"], row["moulded_by"]) for row in rows["hull"]} == {
        (34.925, "Thistledown & Co"),
        (None, ""),
    }
    assert (rows["pack"][0]["lead_mm"], rows["prop"][0]["rake_deg"]) == (180, 15)
    assert {(63.5, "Marjoram & Sons"), (40, "")} <= {(row["wave_mm"], row["launched_by"]) for row in rows["run"]}


def test_a_step_has_it_in_form_page_and_representation(found):
    assert '<label for="f-grit">Grit of the paper</label>' in found["/steps/1/edit"].replace(" </label>", "</label>")
    assert "<dt>Grit of the paper</dt><dd>240</dd>" in found["/steps/1"]
    step = json.loads(found["/steps/1.json"])["step"]
    assert (step["grit"], step["masked"]) == (240, False)


def test_a_state_keeps_it_of_a_step_only_where_something_was_said(found):
    assert json.loads(found["/modifications/1.json"])["moved_on"] is False
    assert json.loads(found["kept of the steps"]) == [{"grit": 240}, {}]


def test_a_pack_has_its_own_on_form_page_and_list(found):
    assert 'name="lead"' in found["/packs/1/edit"]
    shown = '<dt>Leads</dt><dd>180<span class="unit">mm</span><span class="origin"> measured</span></dd>'
    assert shown in found["/packs/1"]
    assert json.loads(found["/packs.json"])["rows"][0]["lead"]["value"] == 180


def test_an_entry_of_a_log_has_its_own_in_the_form_the_table_and_the_table_file(found):
    assert 'name="charger"' in found["/packs/1/log"] and "Charger the grey box" in found["/packs/1/log"]
    heading, line = found["/packs/1/log.csv"].lstrip("\ufeff").splitlines()
    cells = dict(zip(heading.split(","), line.split(","), strict=True))
    assert cells["charger"] == "the grey box" and "listed" not in cells


def test_every_kind_of_part_has_its_own_and_its_words_are_found(found):
    assert "<dt>Winding</dt><dd>delta, 6 turns</dd>" in found["/drives/1"]
    assert "/drives/1" in found["search part"] and "<mark>delta</mark>" in found["search part"]
