"""Everything in open formats: out of one garage, into an empty one, and every page is the same."""

import csv
import io
import json
import shutil
import zipfile
from datetime import UTC, datetime
from pathlib import Path

import gpxpy
import numpy as np
import pytest

from garage.archive.check import check
from garage.archive.export import export
from garage.archive.gpx import gpx_lines
from garage.archive.importing import take_in
from garage.calc.track.track import Track
from garage.db.backup import write_backup
from garage.db.kept_backups import DAILY
from garage.errors import UnusableData
from tests.durability.pages import SOME, every_twin
from tests.durability.served import query, run

NOW = datetime(2026, 5, 9, 12, 0, tzinfo=UTC)


def _rows(folder: Path) -> dict[str, set[tuple]]:
    """Every row of every table, but for the full text and what it was made by."""
    names = [name for (name,) in query(folder, "SELECT name FROM sqlite_master WHERE type = 'table'")]
    kept = [name for name in names if not name.startswith(("search", "sqlite"))]
    rows = {name: set(query(folder, f'SELECT * FROM "{name}"')) for name in kept}
    return rows | {"fact": {row for row in rows["fact"] if row[0] != "made by: search"}}


@pytest.mark.parametrize("of_each", [SOME, pytest.param(None, marks=pytest.mark.long)], ids=["some", "all"])
def test_the_archive_taken_into_an_empty_garage_gives_equal_pages(
    demo_folder: Path, demo_pages: dict[str, bytes], tmp_path: Path, make_app, of_each
):
    folder = Path(shutil.copytree(demo_folder, tmp_path / "demo"))
    before = demo_pages if of_each == SOME else every_twin(make_app, folder, of_each)
    export(folder, tmp_path / "all.zip", NOW)
    take_in(tmp_path / "all.zip", tmp_path / "new")
    assert _rows(folder) == _rows(tmp_path / "new")
    after = every_twin(make_app, tmp_path / "new", of_each)
    assert len(before) > 150
    assert {path for path in before if before[path] != after.get(path)} == set()
    assert check(tmp_path / "new").is_good
    said = "SELECT rowid FROM search_text WHERE search_text MATCH 'tab*'"
    found = [query(place, said) for place in (folder, tmp_path / "new")]
    assert found[0] == found[1] != []


def test_every_table_is_there_as_json_and_as_csv_and_every_photo_as_it_was(garage: Path, tmp_path: Path):
    export(garage, tmp_path / "all.zip", NOW)
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        about = json.loads(archive.read("about.json"))
        for table, count in about["rows"].items():
            assert len(json.loads(archive.read(f"json/{table}.json"))) == count
            as_csv = io.StringIO(archive.read(f"csv/{table}.csv").decode("utf-8-sig"), newline="")
            assert len(list(csv.DictReader(as_csv))) == count
        hulls = json.loads(archive.read("json/hull.json"))
        photos = [name for name in archive.namelist() if name.startswith("files/") and ".thumb." not in name]
        for name in photos:
            assert archive.read(name) == (garage / name).read_bytes()
    assert [hull["name"] for hull in hulls] == ["Medlar", "Quince"] and hulls[0]["length_mm"] == 742
    assert len(photos) == 2
    assert about["rows"]["run"] == query(garage, "SELECT count(*) FROM run")[0][0]
    assert "device" not in about["rows"], "who may come in stays with this machine"


def test_a_formula_in_a_note_is_text_in_the_spreadsheet_and_itself_in_the_json(garage: Path, tmp_path: Path):
    formula = '=HYPERLINK("http://example.invalid","x")'
    query(garage, "UPDATE hull SET notes = ? WHERE id = 1", (formula,))
    export(garage, tmp_path / "all.zip", NOW)
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        assert json.loads(archive.read("json/hull.json"))[0]["notes"] == formula
        rows = list(csv.DictReader(io.StringIO(archive.read("csv/hull.csv").decode("utf-8-sig"))))
    assert rows[0]["notes"] == "'" + formula


def test_only_an_empty_garage_takes_everything_in(garage: Path, tmp_path: Path):
    export(garage, tmp_path / "all.zip", NOW)
    before = query(garage, "SELECT * FROM run")
    done = run("import", tmp_path / "all.zip", "--data", garage)
    assert done.returncode == 2 and "not empty" in done.stderr
    assert query(garage, "SELECT * FROM run") == before


@pytest.mark.parametrize("where", ["json/run.json", "about.json", "photo"])
def test_a_damaged_archive_is_refused_and_nothing_is_left(garage: Path, tmp_path: Path, where: str):
    export(garage, tmp_path / "all.zip", NOW)
    content = bytearray((tmp_path / "all.zip").read_bytes())
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        name = where if where != "photo" else next(name for name in archive.namelist() if name.endswith("png"))
        info = archive.getinfo(name)
    content[info.header_offset + 30 + len(name) + 20 + info.compress_size // 2] ^= 0xFF
    (tmp_path / "bad.zip").write_bytes(content)
    with pytest.raises(UnusableData):
        take_in(tmp_path / "bad.zip", tmp_path / "new")
    assert [path.name for path in (tmp_path / "new").iterdir()] == ["files"]


def _changed(source: Path, target: Path, name: str, content: bytes) -> Path:
    """The archive with one entry replaced, and its list put right: whole, but not what it says."""
    import hashlib

    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w") as new:
        about = json.loads(old.read("about.json"))
        for entry in about["entries"]:
            if entry["name"] == name:
                entry |= {"size_bytes": len(content), "sha256": hashlib.sha256(content).hexdigest()}
            new.writestr(entry["name"], content if entry["name"] == name else old.read(entry["name"]))
        new.writestr("about.json", json.dumps(about))
    return target


@pytest.mark.parametrize(
    "content",
    [
        b"", b"[\n]\n", b'[\n{"id": 1}\n]\n', b"[\nnull\n]\n", b'{"id": 1}', b"[\n{\n]\n",
        b'[\n{"id": 9, "name": {"base64": "?"}}\n]\n', b"[\n" + b"[" * 100_000 + b"\n]\n",
        b'[\n[[[[[[[[[1]]]]]]]]]\n]\n',
    ],
)  # fmt: skip
def test_an_archive_that_does_not_hold_together_is_refused_in_words(garage: Path, tmp_path: Path, content: bytes):
    export(garage, tmp_path / "all.zip", NOW)
    changed = _changed(tmp_path / "all.zip", tmp_path / "changed.zip", "json/hull.json", content)
    with pytest.raises(UnusableData, match="hold together"):
        take_in(changed, tmp_path / "new")
    assert not (tmp_path / "new" / "garage.sqlite").exists()


def test_a_file_that_is_no_archive_is_refused_in_words(tmp_path: Path):
    (tmp_path / "list.zip").write_text("a shopping list")
    with zipfile.ZipFile(tmp_path / "other.zip", "w") as archive:
        archive.writestr("about.json", '{"format": "something else"}')
    for name in ("list.zip", "other.zip", "nothing.zip"):
        done = run("import", tmp_path / name, "--data", tmp_path / "new")
        assert done.returncode == 2 and "Traceback" not in done.stderr


def test_a_log_as_gpx_is_read_by_another_program_with_the_same_places_and_times():
    latitude, longitude = np.array([59.1234567, np.nan, 59.1234667]), np.array([18.0, np.nan, 18.00002])
    track = Track(np.array([0.0, 0.1, 0.2]), 1_770_000_000.0, latitude, longitude)
    read = gpxpy.parse("".join(gpx_lines(track, "a <name> & more")))
    points = read.tracks[0].segments[0].points
    assert read.tracks[0].name == "a <name> & more"
    assert [(point.latitude, point.longitude) for point in points] == [(59.1234567, 18.0), (59.1234667, 18.00002)]
    assert points[1].time.timestamp() == pytest.approx(1_770_000_000.2, abs=1e-3)


def _locked(archive: Path, target: Path, name: str) -> Path:
    """The zip with one entry marked as locked with a password."""
    content = bytearray(archive.read_bytes())
    with zipfile.ZipFile(archive) as opened:
        content[opened.getinfo(name).header_offset + 6] |= 1
    place = content.find(b"PK\x01\x02")
    while content[place + 46 : place + 46 + len(name)] != name.encode():
        place = content.find(b"PK\x01\x02", place + 4)
    content[place + 8] |= 1
    target.write_bytes(content)
    return target


@pytest.mark.parametrize("which", ["json/hull.json", "about.json", "photo"])
def test_an_archive_locked_with_a_password_is_refused_in_words(garage: Path, tmp_path: Path, which: str):
    export(garage, tmp_path / "all.zip", NOW)
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        name = which if which != "photo" else next(name for name in archive.namelist() if name.endswith("png"))
    done = run("import", _locked(tmp_path / "all.zip", tmp_path / "locked.zip", name), "--data", tmp_path / "new")
    assert done.returncode == 2 and "nothing was changed" in done.stderr
    assert not (tmp_path / "new" / "garage.sqlite").exists()


def test_a_backup_locked_with_a_password_or_made_to_do_harm_is_refused_in_words(garage: Path, tmp_path: Path):
    write_backup(garage, tmp_path / "good.zip", DAILY, NOW)
    for name in ("manifest.json", "garage.sqlite"):
        done = run("restore", _locked(tmp_path / "good.zip", tmp_path / "bad.zip", name), "--data", tmp_path / "new")
        assert done.returncode == 2 and "nothing was changed" in done.stderr
    with zipfile.ZipFile(tmp_path / "deep.zip", "w") as archive:
        archive.writestr("manifest.json", "[" * 200_000)
    assert run("restore", tmp_path / "deep.zip", "--data", tmp_path / "new").returncode == 2


def test_an_archive_that_lacks_a_photo_of_its_list_is_refused(garage: Path, tmp_path: Path):
    export(garage, tmp_path / "all.zip", NOW)
    with zipfile.ZipFile(tmp_path / "all.zip") as old, zipfile.ZipFile(tmp_path / "less.zip", "w") as new:
        for name in old.namelist():
            if not name.endswith(".png"):
                new.writestr(name, old.read(name))
    with pytest.raises(UnusableData, match="damaged at files/"):
        take_in(tmp_path / "less.zip", tmp_path / "new")


def test_what_was_tampered_with_is_named_when_it_was_taken_in(garage: Path, tmp_path: Path):
    export(garage, tmp_path / "all.zip", NOW)
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        photo = next(name for name in archive.namelist() if name.endswith("png"))
        states = archive.read("json/build_state.json").decode().replace("12.0", "13.0", 1).encode()
    once = _changed(tmp_path / "all.zip", tmp_path / "once.zip", photo, b"<html>")
    twice = _changed(once, tmp_path / "twice.zip", "json/build_state.json", states)
    done = run("import", twice, "--data", tmp_path / "new")
    assert done.returncode == 1
    assert "fingerprint" in done.stderr and "is damaged" in done.stderr


def test_a_number_beyond_what_a_file_can_hold_is_refused_in_words(garage: Path, tmp_path: Path):
    export(garage, tmp_path / "all.zip", NOW)
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        hulls = archive.read("json/hull.json").replace(b'"id": 1,', b'"id": ' + b"9" * 30 + b",", 1)
    with pytest.raises(UnusableData, match="hold together"):
        take_in(_changed(tmp_path / "all.zip", tmp_path / "big.zip", "json/hull.json", hulls), tmp_path / "new")
