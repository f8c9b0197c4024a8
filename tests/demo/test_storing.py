"""What is stored of the demo is what its story gives when it is told anew."""

import hashlib
import io
import json
import math
import sqlite3
import zipfile
import zlib
from pathlib import Path

import pytest
from PIL import Image
from sqlalchemy import Engine, event

from garage.db.backup_file import open_backup
from garage.db.migrate import HEAD
from garage.demo.first_start import STORED_GARAGE
from garage.demo.storing import store_demo
from garage.paths import DATABASE_NAME

_PICTURES = (".png", ".jpg")
_ANEW = "the stored demo is not of this story and program: run python -m garage.demo.storing"


def test_it_is_of_the_newest_schema_and_without_guards_and_full_text(tmp_path: Path):
    with open_backup(STORED_GARAGE) as (archive, manifest):
        assert manifest.revision == HEAD, _ANEW
        assert manifest.is_demo and not manifest.faults
        archive.extract(DATABASE_NAME, tmp_path)
    with sqlite3.connect(tmp_path / DATABASE_NAME) as connection:
        assert connection.execute("SELECT count(*) FROM sqlite_master WHERE type = 'trigger'").fetchone() == (0,)
        assert connection.execute("SELECT count(*) FROM search_text").fetchone() == (0,)
        assert connection.execute("SELECT count(*) FROM run").fetchone()[0] > 200


@pytest.mark.long
def test_a_rebuild_gives_the_stored_garage_row_by_row(tmp_path: Path):
    asked = []
    event.listen(Engine, "before_cursor_execute", ask := lambda *_: asked.append(1))
    store_demo(tmp_path / "rebuilt.zip")
    event.remove(Engine, "before_cursor_execute", ask)
    stored, rebuilt = (_content(path, tmp_path) for path in (STORED_GARAGE, tmp_path / "rebuilt.zip"))
    assert stored.keys() == rebuilt.keys() and len(stored["run"]) > 200
    for table in stored:
        assert len(stored[table]) == len(rebuilt[table]), f"{table}: {_ANEW}"
        for number, (one, other) in enumerate(zip(stored[table], rebuilt[table], strict=True)):
            assert all(map(_is_same, one, other)), f"row {number} of {table}: {_ANEW}\n{one}\n{other}"
    assert 0 < len(asked) < 4 * sum(map(len, stored.values())), "the file is asked over and over for what is known"


def _content(path: Path, work: Path) -> dict[str, list[tuple]]:
    """The rows of every table and the files; pictures by their dots, since libraries pack the same dots differently."""
    with zipfile.ZipFile(path) as archive:
        archive.extract(DATABASE_NAME, work)
        names = sorted(name for name in archive.namelist() if name.startswith("files/"))
        files = {name: archive.read(name) for name in names}
    dots = {Path(name).stem: _dots(content) for name, content in files.items() if name.endswith(".png")}
    connection = sqlite3.connect(work / DATABASE_NAME)
    tables = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'search_text%'")
    rows = {table: connection.execute(f'SELECT * FROM "{table}" ORDER BY rowid').fetchall() for (table,) in tables}
    connection.close()
    found = {table: [tuple(dots.get(value, value) for value in row) for row in rows[table]] for table in rows}
    found["logs"] = [(name, content) for name, content in files.items() if not name.endswith(_PICTURES)]
    return found | {"pictures": sorted((value,) for value in dots.values())}


def _dots(content: bytes) -> str:
    picture = Image.open(io.BytesIO(content))
    return hashlib.sha256(repr((picture.mode, picture.size)).encode() + picture.tobytes()).hexdigest()


def _is_same(one: object, other: object) -> bool:
    """Equal, numbers but for the last digits, which another machine's arithmetic may end differently."""
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-12)
    if isinstance(one, bytes) and isinstance(other, bytes):
        return one == other or _unpacked(one) == _unpacked(other)
    if isinstance(one, str) and isinstance(other, str) and one != other and one[:1] == other[:1] in ("{", "["):
        return _is_same_json(json.loads(one), json.loads(other))
    return one == other


def _is_same_json(one: object, other: object) -> bool:
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(_is_same_json(one[name], other[name]) for name in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_is_same_json, one, other))
    return _is_same(one, other)


def _unpacked(block: bytes) -> bytes:
    try:
        return zlib.decompress(block)
    except zlib.error:
        return block
