"""The demo moved in time: no date stays behind, nothing else changes, and its pages say the same of other days."""

import json
import re
import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from garage.app import create_app
from garage.archive.check import check
from garage.archive.fingerprints import state_faults
from garage.db.engine import open_engine, reading
from garage.db.owned_files import stored_files
from garage.db.triggers import PREFIX
from garage.demo.first_start import make_demo_garage
from garage.demo.moving import move_in_time, moved_text
from garage.paths import DATABASE_NAME, FILES_NAME
from garage.settings import Settings
from tests.demo.conftest import REFERENCE

# So far that no year of the moved garage is a year of the stored one.
DAYS = 7 * 52 * 8
YEARS = range(2023, 2028)
MONTHS = "January February March April May June July August September October November December".split()  # noqa: SIM905
_YEAR, _MONTH = f"(?:{'|'.join(map(str, YEARS))})", f"(?:{'|'.join(MONTHS)})"
_DAY = re.compile(rf"{_YEAR}-?[01][0-9]-?[0-3][0-9](?![0-9])|{_MONTH} {_YEAR}")
_MOMENT = re.compile(r"\S{10}T\S{8}Z")
_HASH = re.compile(r"[0-9a-f]{64}")
_SECONDS = (datetime(YEARS[0], 1, 1, tzinfo=UTC).timestamp(), datetime(YEARS[-1], 12, 31, tzinfo=UTC).timestamp())


@pytest.fixture(scope="module")
def moved_folder(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo as it is unpacked eight years later."""
    folder = tmp_path_factory.mktemp("moved") / "garage"
    make_demo_garage(folder, _end_of(demo_folder) + timedelta(days=DAYS, hours=30))
    return folder


def _end_of(folder: Path) -> datetime:
    moments = [value for *_, value in _values(folder) if isinstance(value, str) and _MOMENT.fullmatch(value)]
    return datetime.fromisoformat(max(moments).replace("Z", "+00:00"))


def _values(folder: Path) -> Iterator[tuple[str, int, str, object]]:
    """Every value of every table: table, row, column, value."""
    with sqlite3.connect(f"file:{folder / DATABASE_NAME}?mode=ro", uri=True) as connection:
        tables = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name").fetchall()
        for (table,) in tables:
            names = [row[1] for row in connection.execute(f'PRAGMA table_info("{table}")')]
            # The numbers by which the full-text search finds its own way are no rows of a garage.
            if table not in ("search_text_data", "search_text_idx", "search_text_docsize", "search_text_config"):
                for number, row in enumerate(connection.execute(f'SELECT * FROM "{table}" ORDER BY rowid')):
                    yield from ((table, number, name, value) for name, value in zip(names, row, strict=True))


def _tells_a_day(value: object) -> bool:
    if isinstance(value, str):
        numbers = re.findall(r"(?<![0-9a-f.])[0-9]{10}(?:\.[0-9]+)?(?![0-9a-f])", value)
        return bool(_DAY.search(value)) or any(_SECONDS[0] <= float(one) <= _SECONDS[1] for one in numbers)
    return isinstance(value, (int, float)) and any(_SECONDS[0] <= value / unit <= _SECONDS[1] for unit in (1, 1e3, 1e6))


def test_no_column_of_any_table_and_no_file_tells_a_day_of_the_stored_season(demo_folder: Path, moved_folder: Path):
    told = {(table, column) for table, _, column, value in _values(demo_folder) if _tells_a_day(value)}
    # The full text's own row numbers may look like seconds.
    told -= {("search_text_content", "id")}
    assert len(told) > 50 and ("log_file", "start_unix_s") in told and ("pack", "damage") in told
    left = [row for row in _values(moved_folder) if (row[0], row[2]) != ("search_text_content", "id")]
    assert [row for row in left if _tells_a_day(row[3])] == []
    logs = [one.path for one in stored_files(moved_folder / FILES_NAME) if one.path.suffix == ".log"]
    assert len(logs) >= 3 and not any(_DAY.search(path.read_text(encoding="utf-8")) for path in logs)


def test_nothing_but_days_and_the_names_of_logs_changes(demo_folder: Path, moved_folder: Path):
    moved = list(_values(moved_folder))
    before = list(_values(demo_folder))
    assert len(before) == len(moved)
    for (table, number, column, was), (*_, now) in zip(before, moved, strict=True):
        if (table, column) == ("log_file", "start_unix_s") and isinstance(was, float):
            assert now == was + DAYS * 86_400
        elif (table, column) != ("log_file", "sha256"):
            assert now == (moved_text(was, DAYS) if isinstance(was, str) else was), (table, number, column)


def test_nothing_of_it_lies_in_the_future_and_its_last_day_in_the_past_week(demo_folder: Path, tmp_path: Path):
    end = _end_of(demo_folder)
    for number, now in enumerate((end, end - timedelta(days=700, hours=1), end + timedelta(days=45, hours=5))):
        make_demo_garage(tmp_path / str(number), now)
        assert timedelta(0) <= now - _end_of(tmp_path / str(number)) < timedelta(days=7)


def test_the_moved_garage_is_good(moved_folder: Path):
    report = check(moved_folder)
    assert report.is_good and not report.notes


def test_its_pages_say_the_same_of_other_days(demo_folder: Path, moved_folder: Path):
    """Read from the stored garage and put later, every figure and word is what the moved one says at the later time."""
    addresses = [
        *("/home", "/hulls", "/outings", "/runs", "/packs", "/records", "/findings", "/bin"),
        *(f"/logs/{number}" for number in range(1, 8)),
        *(f"/{things}/{number}" for things in ("hulls", "packs", "outings", "runs") for number in (1, 4)),
    ]
    answers = {}
    for folder, now in ((demo_folder, REFERENCE), (moved_folder, REFERENCE + timedelta(days=DAYS))):
        app = create_app(Settings(folder, hosts=("testserver",), clock=lambda now=now: now))
        client = TestClient(app, client=("127.0.0.1", 50000))
        answers[folder] = [client.get(f"{address}.json") for address in addresses]
        app.state.engine.dispose()
    assert all(answer.status_code == 200 for answer in answers[demo_folder])
    for address, before, after in zip(addresses, answers[demo_folder], answers[moved_folder], strict=True):
        # A log is called after its content, so it has another name.
        told, expected = (_HASH.sub("", text) for text in (after.text, moved_text(before.text, DAYS)))
        assert json.loads(told) == json.loads(expected), address


def test_found_by_its_new_day_and_not_by_the_old(demo_folder: Path, moved_folder: Path):
    for folder, found in ((demo_folder, True), (moved_folder, False)):
        with sqlite3.connect(folder / DATABASE_NAME) as connection:
            rows = connection.execute("SELECT count(*) FROM search_text WHERE search_text MATCH '\"2026-10-31\"'")
            assert (rows.fetchone()[0] > 0) is found


@pytest.mark.parametrize(
    ("text", "later"),
    [
        ("2026-12-28", "2027-01-04"),
        ("2024-02-26T08:05:00Z", "2024-03-04T08:05:00Z"),
        ('{"on":"2026-10-31","value":3.5}', '{"on":"2026-11-07","value":3.5}'),
        ("2026-10-31-run-6.csv", "2026-11-07-run-6.csv"),
        ("Swollen since 30 May 2026, again", "Swollen since 6 June 2026, again"),
        ("2026-13-45 and 31 February 2026", "2026-13-45 and 31 February 2026"),
        ("12026-10-31 or 2026-10-311", "12026-10-31 or 2026-10-311"),
        ("5.5 mm, 2026 rpm, in May", "5.5 mm, 2026 rpm, in May"),
    ],
)
def test_dates_in_a_text_are_moved_and_nothing_else(text: str, later: str):
    assert moved_text(text, 7) == later
    assert moved_text(later, -7) == text


def test_a_day_in_what_is_on_a_boat_gives_the_state_its_new_fingerprint(demo_folder: Path, tmp_path: Path):
    """What the demo's own story has none of: a date in a title, of which the fingerprint is made as well."""
    database = tmp_path / DATABASE_NAME
    database.write_bytes((demo_folder / DATABASE_NAME).read_bytes())
    (tmp_path / FILES_NAME).mkdir()
    with sqlite3.connect(database) as connection:
        triggers = connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for (name,) in triggers:
            assert name.startswith(PREFIX)
            connection.execute(f"DROP TRIGGER {name}")
        for table, column in (("change", "detail"), ("build_state", "content")):
            words = f'replace({column}, \'"title":"\', \'"title":"2026-06-01 \')'
            changed = connection.execute(f"UPDATE {table} SET {column} = {words} WHERE {column} LIKE '%\"title\":%'")
            assert changed.rowcount > 0
        move_in_time(connection, tmp_path / FILES_NAME, 7)
        assert connection.execute("SELECT count(*) FROM build_state WHERE content LIKE '%2026-06-08%'").fetchone()[0]
    engine = open_engine(database)
    with reading(engine) as session:
        _, faults = state_faults(session)
    engine.dispose()
    assert faults == []
