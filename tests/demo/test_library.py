"""The notebook as a library: rows as the demo has them, nothing touched, and every example runs as it stands."""

import dataclasses
import doctest
import hashlib
import re
import shutil
from datetime import date
from pathlib import Path

import pytest
from sqlmodel import func, select

from garage.api import Garage, GarageError, NotFound, UnusableData, notebook
from garage.db.engine import open_engine, writing
from garage.hulls.tables import Hull
from garage.paths import DATABASE_NAME, ROOT
from garage.runs.tables import Run
from tests.logs.made import gpx, there_and_back


@pytest.fixture(scope="module")
def g(demo_folder):
    with Garage(demo_folder) as garage:
        yield garage


def _hashes(folder: Path) -> dict[str, tuple[str, int]]:
    return {
        str(path.relative_to(folder)): (hashlib.sha256(path.read_bytes()).hexdigest(), path.stat().st_mtime_ns)
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_nothing_in_the_folder_is_touched_by_anything_that_is_asked(demo_folder, tmp_path):
    folder = Path(shutil.copytree(demo_folder, tmp_path / "garage"))
    for left_over in folder.glob("garage.sqlite-*"):
        left_over.unlink()
    before = _hashes(folder)
    with Garage(folder) as g:
        boat = g.hulls()[0].name
        for rows in (g.packs(), g.props(), g.outings(), g.states(boat), g.runs(), g.records()):
            assert rows
        g.effect(boat, states=(1, 2))
        assert _hashes(folder) == before
    assert _hashes(folder) == before


def test_what_is_written_and_not_yet_in_the_file_itself_is_seen_and_left_where_it_is(demo_folder, tmp_path):
    folder = Path(shutil.copytree(demo_folder, tmp_path / "garage"))
    engine = open_engine(folder / DATABASE_NAME)
    with writing(engine) as session:
        session.add(Hull(name="Newest", kind="mono", created_at="2026-11-25T09:00:00Z"))
    before = _hashes(folder)
    assert any(name.endswith("-wal") and (folder / name).stat().st_size for name in before)
    with Garage(folder) as g:
        assert "Newest" in [hull.name for hull in g.hulls()]
        with writing(engine) as session:
            session.add(Hull(name="Newer still", kind="mono", created_at="2026-11-25T09:00:00Z"))
        assert "Newer still" not in [hull.name for hull in g.hulls()]
    engine.dispose()


def test_a_copy_is_not_left_behind(demo_folder):
    garage = Garage(demo_folder)
    own = garage._snapshot.database.parent
    assert own.is_dir()
    garage.close()
    garage.close()
    assert not own.exists()
    with pytest.raises(GarageError, match="closed"):
        garage.hulls()


def test_every_row_is_flat(g):
    boat = g.hulls()[0].name
    effect = g.effect(boat, states=(1, 2))
    for rows in (g.hulls(), g.packs(), g.props(), g.outings(), g.states(boat), g.runs(), g.records(), [effect]):
        for row in rows:
            values = dataclasses.asdict(row).values()
            assert all(value is None or type(value) in (str, int, float, bool) for value in values), row


def test_every_run_that_counts_is_there_once_in_its_order(g, demo_session):
    counted = demo_session.exec(select(func.count()).where(Run.set_aside_at.is_(None))).one()
    every = demo_session.exec(select(func.count()).select_from(Run)).one()
    runs = g.runs()
    assert len({run.id for run in runs}) == len(runs) == counted < every == len(g.runs(set_aside=True))
    assert sorted(run.id for hull in g.hulls() for run in g.runs(hull.id)) == sorted(run.id for run in runs)
    for hull in g.hulls():
        assert [run.day for run in g.runs(hull.name)] == sorted(run.day for run in g.runs(hull.name))


def test_a_run_is_what_its_page_says(g, demo_client):
    for run in g.runs()[::40]:
        page = demo_client.get(f"/runs/{run.id}.json").json()
        assert (run.speed_kmh, run.known) == (page["speed"]["value"], page["speed"]["from"])


def test_days_bound_what_is_asked_for(g):
    days = sorted({run.day for run in g.runs()})
    first, last = days[2], days[-3]
    between = g.runs(since=first, until=date.fromisoformat(last))
    assert {run.day for run in between} == set(days[2:-2])


def test_records_are_ranked_within_their_way_as_on_the_page(g, demo_client):
    shown = demo_client.get("/records.csv")
    assert shown.status_code == 200
    page = demo_client.get("/records.json").json()["rows"]
    found = g.records(of_each=8)
    assert [(row.way, row.rank, row.run_id) for row in found] == [
        (row["way"], row["rank"], row["run"]["id"]) for row in page
    ]


def test_an_effect_is_what_the_finding_says(g, demo_client):
    rows = demo_client.get("/findings.json").json()["rows"]
    asked = next(row for row in rows if row.get("percent") is not None)
    answer = demo_client.get(f"/findings/{asked['id']}.json").json()
    found = g.effect(answer["hull"], modification=re.fullmatch("(.*): what did it gain\\?", answer["title"])[1])
    assert found.percent == pytest.approx(answer["effect"]["percent"])
    assert (found.low_percent, found.high_percent) == pytest.approx((answer["effect"]["low"], answer["effect"]["high"]))
    assert found.verdict.startswith(answer["verdict"])


_WRONG = [
    (lambda g: g.states("Nobody"), "no hull called “Nobody”"),
    (lambda g: g.states(9999), "no such hull"),
    (lambda g: g.runs(since="May"), "“May” is no day"),
    (lambda g: g.records(at_least="hearsay"), "there are log both ways"),
    (lambda g: g.records(kind="raft"), "no kind of hull"),
    (lambda g: g.records(pack="none"), "no pack with the code"),
    (lambda g: g.effect("Brindle"), "Ask about one thing"),
    (lambda g: g.effect("Brindle", prop="P1", pack="A"), "Ask about one thing"),
    (lambda g: g.effect("Brindle", modification="Wings"), "No modification of Brindle"),
    (lambda g: g.effect("Brindle", prop="none"), "no prop with the code"),
    (lambda g: g.effect("Brindle", setting="colour"), "no such setting"),
    (lambda g: g.effect("Brindle", states=(2, 2)), "Two different"),
    (lambda g: g.effect("Brindle", states=(1, 999)), "no build state 999"),
    (lambda g: g.calc("slip"), "shaft_speed: This is needed"),
    (lambda g: g.calc("nonsense"), "no calculator"),
    (lambda g: g.track("/nowhere.gpx"), "cannot be opened"),
    (lambda g: g.track("/nowhere.gpx", course_m=0), "between 1 and 5000"),
]


@pytest.mark.parametrize(("ask", "words"), _WRONG)
def test_what_cannot_be_answered_is_said_in_words(g, ask, words):
    with pytest.raises(GarageError, match=words):
        ask(g)


def test_what_is_not_there_can_be_told_from_what_is_wrong(g):
    with pytest.raises(NotFound):
        g.states("Nobody")


@pytest.mark.parametrize("content", [None, b"", b"no database at all, but long enough to be looked at" * 40])
def test_a_folder_without_a_garage_is_refused_in_words_and_left_alone(tmp_path, content):
    if content is not None:
        (tmp_path / DATABASE_NAME).write_bytes(content)
    before = _hashes(tmp_path)
    with pytest.raises(UnusableData):
        Garage(tmp_path)
    assert _hashes(tmp_path) == before


def test_the_examples_of_the_page_on_the_library_run(demo_folder, tmp_path):
    log = tmp_path / "log.gpx"
    log.write_text(gpx(there_and_back(25, 10).track()))
    ran = doctest.testfile(
        str(ROOT / "docs" / "library.md"), module_relative=False, globs={"folder": demo_folder, "log": log},
        optionflags=doctest.NORMALIZE_WHITESPACE,
    )  # fmt: skip
    assert ran.failed == 0 and ran.attempted > 20


def test_the_examples_in_the_code_run(demo_folder):
    ran = doctest.testmod(notebook, extraglobs={"folder": demo_folder})
    assert ran.failed == 0 and ran.attempted >= 7
