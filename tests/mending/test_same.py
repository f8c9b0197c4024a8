"""Two things that are one, and lines of a pack's log put right: looked at, done, found by both names, taken back."""

import json
import re
import shutil
import sqlite3
from pathlib import Path
from urllib.parse import urlencode

import pytest
from hypothesis import given
from hypothesis import strategies as st
from starlette.testclient import TestClient

from garage.archive.check import check
from garage.inventory.lookalike import look_alike
from garage.paths import DATABASE_NAME
from tests.demo.conftest import client_on

# What only grows, and what is made anew of the rest.
_GROWS = ("mending", "same_thing", "correction", "run_move", "search", "sqlite", "sent", "last")
_NO_ANSWER = ("stands_against", "wrong")


@pytest.fixture(scope="module")
def garage(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory):
    """The demo, written to by one test after the other: each takes back what it did."""
    folder = tmp_path_factory.mktemp("same") / "garage"
    shutil.copytree(demo_folder, folder)
    with client_on(folder) as client:
        yield Garage(client, folder)


@pytest.fixture(autouse=True)
def _no_questions(monkeypatch: pytest.MonkeyPatch) -> None:
    # What questions are answered is their own tests' matter, and a second for each boat.
    monkeypatch.setattr("garage.mending.readings._of_questions", lambda *_: {})
    monkeypatch.setattr("garage.mending.preview.MOST_RUNS", 3)


class Garage:
    """A client on a garage, and what is put right with it."""

    def __init__(self, client: TestClient, folder: Path) -> None:
        self.client, self.folder = client, folder

    def rows(self, sql: str, *values) -> list[tuple]:
        with sqlite3.connect(self.folder / DATABASE_NAME) as file:
            return file.execute(sql, values).fetchall()

    def one(self, sql: str, *values):
        return self.rows(sql, *values)[0][0]

    def data(self, address: str) -> dict:
        answer = self.client.get(f"{address}.json")
        assert answer.status_code == 200, address
        return answer.json()

    def new(self, address: str, **typed) -> int:
        answer = self.client.post(address, data=typed, follow_redirects=False)
        assert answer.status_code == 303, answer.text
        return int(re.findall(r"[0-9]+", answer.headers["location"])[0])

    def look(self, way: str, **typed) -> dict:
        return self.client.get(f"{way}.json?{urlencode({'look': 'yes', **typed})}").json()

    def save(self, way: str, why: str = "", **typed) -> int:
        sheet = self.look(way, **typed)
        assert sheet["ahead"], [sheet[name] for name in _NO_ANSWER]
        data = {**typed, "why": why, "seen": sheet["ahead"].get("mark", "")}
        answer = self.client.post(way, data=data, follow_redirects=False)
        assert answer.status_code == 303, answer.text
        return self.one("SELECT max(id) FROM mending")

    def rows_of(self, address: str) -> list[dict]:
        path, _, query = address.partition("?")
        return self.client.get(f"{path}.json?{query}&limit=200").json()["rows"]

    def take_back(self, mending_id: int) -> None:
        answer = self.client.post(f"/otherwise/done/{mending_id}/back", data={"why": ""}, follow_redirects=False)
        assert answer.status_code == 303, answer.text

    def stands(self) -> list:
        """All that is written, but what only grows."""
        tables = [
            name for (name,) in self.rows("SELECT name FROM sqlite_master WHERE sql LIKE '%PRIMARY%'")
            if not name.startswith(_GROWS)
        ]  # fmt: skip
        return [(name, sorted(self.rows(f'SELECT * FROM "{name}"'), key=repr)) for name in sorted(tables)]


def _like(garage: Garage, table: str, row_id: int, **other) -> int:
    """One more row like another."""
    with sqlite3.connect(garage.folder / DATABASE_NAME) as file:
        file.row_factory = sqlite3.Row
        row = dict(file.execute(f"SELECT * FROM {table} WHERE id = ?", (row_id,)).fetchone()) | other
        del row["id"]
        names, marks = ", ".join(row), ", ".join("?" * len(row))
        return file.execute(f"INSERT INTO {table} ({names}) VALUES ({marks})", tuple(row.values())).lastrowid


def _promised(sheet: dict, url: str) -> dict[str, tuple[str, str]]:
    lines = [
        line for one in sheet["ahead"]["things"] if url in one.get("urls", [one.get("url")]) for line in one["lines"]
    ]
    return {line["what"]: (line["old"], line["new"]) for line in lines}


def _most_used(garage: Garage, table: str, column: str) -> int:
    return garage.one(f"SELECT {column} FROM {table} GROUP BY {column} ORDER BY count(*) DESC LIMIT 1")


def _run_with_pack(garage: Garage, pack_id: int) -> int:
    return garage.one(
        "SELECT run_id FROM run_pack WHERE pack_id = ? AND run_id IN"
        " (SELECT run_id FROM run_pack GROUP BY run_id HAVING count(*) = 1) ORDER BY run_id DESC LIMIT 1", pack_id
    )  # fmt: skip


def test_a_pack_written_twice_is_joined_and_parted_again(garage: Garage):
    kept = _most_used(garage, "run_pack", "pack_id")
    code, cells = garage.rows("SELECT code, cells_s FROM pack WHERE id = ?", kept)[0]
    gone = _like(garage, "pack", kept, code=f"{code} x", capacity_mah=4321, connector="", notes="a second note")
    _like(
        garage,
        "pack_log",
        garage.one("SELECT min(id) FROM pack_log WHERE pack_id = ?", kept),
        run_id=None,
        kind="bench",
        pack_id=gone,
    )
    garage.client.post(f"/packs/{gone}/log", data={"kind": "charge", "at": "2026-10-20T10:00"})
    _like(
        garage,
        "attachment",
        garage.one("SELECT min(id) FROM attachment"),
        owner="pack",
        owner_id=gone,
        kind="note",
        sha256="",
    )
    before = garage.stands()
    way = f"/otherwise/pack/{gone}/same"

    asked = garage.look(way, other=kept, keep="more")
    assert asked["ahead"] is None and "fact_capacity" in asked["wrong"]
    [fact] = [ask for ask in asked["asks"] if ask["name"] == "fact_capacity"]
    assert len(fact["options"]) == 2 and fact["value"] == str(kept)

    typed = {"other": kept, "keep": "more", "fact_capacity": gone}
    promised = _promised(garage.look(way, **typed), f"/packs/{kept}")
    counted = garage.data(f"/packs/{kept}")["standing"]["discharges"]
    done = garage.save(way, "written down twice", **typed)
    said = garage.data(f"/packs/{kept}")
    assert promised["discharges counted"] == (str(counted), str(said["standing"]["discharges"]))
    assert said["facts"]["capacity"]["value"] == 4321 and "a second note" in said["facts"]["notes"]
    assert [one["id"] for one in said["same"]["gone"]] == [gone]
    assert garage.data(f"/packs/{gone}")["same"]["kept"]["id"] == kept
    assert garage.rows(
        "SELECT 1 FROM correction WHERE owner = 'pack' AND owner_id = ? AND field = 'capacity_mah'", kept
    )
    for listed in ("/packs", "/packs?retired=yes"):
        assert gone not in [row["id"] for row in garage.rows_of(listed)]
    for typed_code in (f"pack {code} x", f"pack {code}"):
        answer = garage.client.get(f"/search?{urlencode({'q': typed_code})}", follow_redirects=False)
        assert answer.headers["location"] == f"/packs/{kept}"
    assert garage.client.post(f"/packs/{gone}/return").status_code in (409, 422)
    assert check(garage.folder).is_good
    garage.take_back(done)
    assert garage.stands() == before
    assert check(garage.folder).is_good


def test_runs_go_along_with_all_that_was_read_off_the_pack(garage: Garage):
    kept = _most_used(garage, "run_pack", "pack_id")
    run = _run_with_pack(garage, kept)
    gone = _like(garage, "pack", kept, code="twice", notes="")
    # The one with all the runs goes: its runs, its readings and its lines go along.
    garage.save(f"/otherwise/pack/{kept}/same", other=gone, keep="other")
    assert garage.rows("SELECT pack_id FROM run_pack WHERE run_id = ?", run) == [(gone,)]
    line = garage.rows("SELECT pack_id, set_aside_at FROM pack_log WHERE run_id = ?", run)
    assert [one for one in line if one[1] is None] == [(gone, None)]
    assert garage.data(f"/runs/{run}")["line"]["packs"].startswith("twice")
    garage.take_back(garage.one("SELECT max(id) FROM mending"))
    assert garage.rows("SELECT pack_id FROM run_pack WHERE run_id = ?", run) == [(kept,)]


def test_what_was_in_one_run_is_two(garage: Garage):
    pair = garage.rows(
        "SELECT a.pack_id, b.pack_id FROM run_pack a JOIN run_pack b ON b.run_id = a.run_id AND b.pack_id > a.pack_id"
        " JOIN pack one ON one.id = a.pack_id JOIN pack two ON two.id = b.pack_id AND two.cells_s = one.cells_s LIMIT 1"
    )[0]
    sheet = garage.look(f"/otherwise/pack/{pair[0]}/same", other=pair[1], keep="this")
    assert "they are two" in sheet["stands_against"] and sheet["ahead"] is None


def test_a_prop_written_anew_after_its_rework_is_joined_edition_by_edition(garage: Garage):
    kept = garage.one(
        "SELECT prop_id FROM prop_edition JOIN run_prop ON edition_id = prop_edition.id"
        " GROUP BY prop_id HAVING max(number) > 1 ORDER BY count(*) DESC LIMIT 1"
    )
    numbers = garage.rows("SELECT id, number FROM prop_edition WHERE prop_id = ? ORDER BY number", kept)
    gone = _like(garage, "prop", kept, code="Ptwice", notes="")
    first = _like(garage, "prop_edition", numbers[1][0], prop_id=gone, number=1)
    second = _like(garage, "prop_edition", numbers[1][0], prop_id=gone, number=2, made_at="2027-01-01T10:00:00Z")
    before = garage.stands()
    way = f"/otherwise/prop/{kept}/same"
    assert "first_edition" in garage.look(way, other=gone, keep="this")["wrong"]
    for same, there in (("own", len(numbers) + 2), (str(numbers[1][0]), len(numbers) + 1)):
        done = garage.save(way, other=gone, keep="this", first_edition=same)
        found = garage.rows("SELECT number FROM prop_edition WHERE prop_id = ? ORDER BY number", kept)
        assert [one[0] for one in found] == list(range(1, there + 1))
        assert garage.one("SELECT prop_id FROM prop_edition WHERE id = ?", second) == kept
        assert (garage.one("SELECT prop_id FROM prop_edition WHERE id = ?", first) == kept) == (same == "own")
        for page in ("", "/label", "/rework"):
            assert garage.client.get(f"/props/{gone}{page}").status_code == 200
        assert garage.data(f"/props/{gone}")["same"]["kept"]["id"] == kept
        assert check(garage.folder).is_good
        garage.take_back(done)
        assert garage.stands() == before


def test_the_runs_of_a_first_edition_go_to_the_blade_that_it_was(garage: Garage):
    gone = _most_used(garage, "prop_edition JOIN run_prop ON edition_id = prop_edition.id", "prop_id")
    edition = garage.one("SELECT id FROM prop_edition WHERE prop_id = ? AND number = 1", gone)
    kept = _like(garage, "prop", gone, code="Pstays", notes="")
    blade = _like(garage, "prop_edition", edition, prop_id=kept, number=1)
    runs = garage.rows("SELECT run_id FROM run_prop WHERE edition_id = ? ORDER BY run_id", edition)
    before, way = garage.stands(), f"/otherwise/prop/{gone}/same"
    done = garage.save(way, other=kept, keep="other", first_edition=blade)
    assert garage.rows("SELECT run_id FROM run_prop WHERE edition_id = ? ORDER BY run_id", blade) == runs
    assert "Pstays" in garage.data(f"/runs/{runs[0][0]}")["line"]["prop"]
    garage.take_back(done)
    assert garage.stands() == before


def test_a_water_and_a_motor_written_twice(garage: Garage):
    water = _most_used(garage, "outing", "water_id")
    name = garage.one("SELECT name FROM water WHERE id = ?", water)
    twice = _like(garage, "water", water, name=name.replace(" ", ""), course_m=80.0)
    part = garage.one(
        "SELECT part_id FROM change WHERE part_id IS NOT NULL GROUP BY part_id ORDER BY count(*) DESC LIMIT 1"
    )
    other = _like(garage, "part", part, code="Mtwice", notes="")
    before, events = garage.stands(), garage.data(f"/drives/{part}")["events"]
    assert garage.data(f"/waters/{twice}")["same"]["alike"][0]["id"] == water
    same = f"/otherwise/water/{water}/same"
    ahead = garage.look(same, other=twice, keep="other", fact_course=twice)["ahead"]
    laid = {url for one in ahead["things"] for url in one["urls"] if url.startswith("/runs/")}
    its_runs = garage.one("SELECT count(*) FROM run JOIN outing ON outing.id = outing_id WHERE water_id = ?", water)
    assert len(laid) + ahead["more_runs"] == its_runs, "those that were not laid beside each other are counted"
    of_water = garage.save(same, other=twice, keep="other", fact_course=twice)
    assert garage.rows("SELECT 1 FROM outing WHERE water_id = ?", water) == []
    of_part = garage.save(f"/otherwise/part/{part}/same", other=other, keep="other")
    assert garage.data(f"/drives/{other}")["events"] == events
    assert check(garage.folder).is_good
    garage.take_back(of_part)
    garage.take_back(of_water)
    assert garage.stands() == before


def test_of_three_that_are_one_the_last_stands_for_all(garage: Garage):
    pack = garage.one("SELECT max(id) FROM pack")
    two, three = (_like(garage, "pack", pack, code=code, notes="") for code in ("second", "third"))
    first = garage.save(f"/otherwise/pack/{two}/same", other=pack, keep="this")
    last = garage.save(f"/otherwise/pack/{two}/same", other=three, keep="other")
    stand = "SELECT gone_id, kept_id FROM same_thing WHERE parted_at IS NULL ORDER BY gone_id"
    assert garage.rows(stand) == sorted([(pack, three), (two, three)])
    sheet = garage.data(f"/otherwise/done/{first}")
    assert sheet["stands_against"]
    garage.take_back(last)
    garage.take_back(first)
    assert garage.rows(stand) == []


@pytest.mark.parametrize("name", ["pack", "time", "what"])
def test_a_line_of_a_log_was_otherwise(garage: Garage, name: str):
    line, pack, kind = garage.rows(
        "SELECT id, pack_id, kind FROM pack_log"
        " WHERE run_id IS NULL AND kind = 'storage' AND set_aside_at IS NULL LIMIT 1"
    )[0]
    cells = garage.one("SELECT cells_s FROM pack WHERE id = ?", pack)
    other = garage.one("SELECT id FROM pack WHERE cells_s = ? AND id <> ? LIMIT 1", cells, pack)
    typed = {"pack": {"pack": other}, "time": {"at": "2026-01-02T10:00"}, "what": {"kind": "bench"}}[name]
    before = garage.stands()
    sheet = garage.look(f"/otherwise/pack_log/{line}/{name}", **typed)
    count = garage.data(f"/packs/{pack}")["standing"]["discharges"]
    done = garage.save(f"/otherwise/pack_log/{line}/{name}", "wrong line", **typed)
    now = other if name == "pack" else pack
    found = [row for row in garage.rows_of(f"/packs/{now}/log") if row["id"] == line]
    assert "wrong line" in found[0]["mended"][0]
    if name == "what":
        after = garage.data(f"/packs/{pack}")["standing"]["discharges"]
        assert (
            _promised(sheet, f"/packs/{pack}")["discharges counted"] == (str(count), str(after)) and after == count + 1
        )
    assert check(garage.folder).is_good
    garage.take_back(done)
    assert garage.stands() == before


def test_a_reading_was_of_another_pack_and_by_another_way(garage: Garage):
    reading, pack, cells = garage.rows(
        "SELECT id, pack_id, cells_mohm FROM pack_reading WHERE set_aside_at IS NULL LIMIT 1"
    )[0]
    other = garage.one("SELECT id FROM pack WHERE cells_s = ? AND id <> ?", len(json.loads(cells)), pack)
    before = garage.stands()
    sheet = garage.look(f"/otherwise/reading/{reading}/pack", pack=other)
    assert "resistance readings" in _promised(sheet, f"/packs/{other}")
    moved = garage.save(f"/otherwise/reading/{reading}/pack", pack=other)
    how = garage.save(f"/otherwise/reading/{reading}/method", method="other", instrument="the small one")
    found = [row for row in garage.rows_of(f"/packs/{other}/readings") if row["id"] == reading]
    assert len(found[0]["mended"]) >= 2
    garage.take_back(how)
    garage.take_back(moved)
    assert garage.stands() == before and check(garage.folder).is_good


def test_a_line_that_a_run_wrote_is_put_right_with_the_run(garage: Garage):
    line = garage.one("SELECT max(id) FROM pack_log WHERE run_id IS NOT NULL")
    assert "run" in garage.look(f"/otherwise/pack_log/{line}/pack", pack="1")["stands_against"]


@given(st.text(alphabet="ABEKMOPTXaceopxy0Il18 -", min_size=1, max_size=8))
def test_a_name_looks_like_itself_written_otherwise(name: str):
    other = name.translate(str.maketrans("ABEKMOPTXaceopxy", "АВЕКМОРТХасеорху"))
    spaced, digits = "  ".join(name), name.translate(str.maketrans("0O1l", "O0l1"))
    readable = any(sign.isalnum() for sign in name)
    for written in (other, spaced, digits, name.lower(), name.upper()):
        assert look_alike(name, written) == readable


@pytest.mark.parametrize(("one", "other"), [("P8", "P9"), ("J", "K"), ("P1", "P11"), ("Mill Pond", "Mill Weir")])
def test_names_that_differ_do_not_look_alike(one: str, other: str):
    assert not look_alike(one, other)
