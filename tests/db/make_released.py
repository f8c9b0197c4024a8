"""Makes the stored garage of a released schema: the demo with something in every table, as a backup file.

    python -m tests.db.make_released tests/db/released

Run once for each release that changes the file's format; what it made is never made anew.
"""

import shutil
import sqlite3
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path

from starlette.testclient import TestClient

from garage.app import create_app
from garage.db.backup import write_backup
from garage.db.kept_backups import ASKED_FOR
from garage.db.migrate import HEAD
from garage.demo.first_start import make_demo_garage
from garage.paths import DATABASE_NAME
from garage.settings import Settings
from tests.durability.pages import DESK
from tests.forms import read_page

NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
_PAST = "Date;Boat;Place;Top speed (km/h)\n2026-10-03;{hull};Hollow Mere;61\n2026-10-03;Nobody;Hollow Mere;40\n"
# What no page of the demo leads to in one step.
_ROWS = (
    "INSERT INTO own_material (name, density_kg_m3, created_at) VALUES ('pear wood', 690, '2026-11-25T09:00:00Z')",
    "INSERT INTO log_restored (log_id, first_sample, last_sample, why, at)"
    " VALUES ((SELECT min(id) FROM log_file), 3, 5, 'seen on the film', '2026-11-25T09:00:00Z')",
    "INSERT INTO denied_speed (run_id, log_id, speed_kmh, receiver_kmh, places_kmh, is_news)"
    " VALUES ((SELECT min(id) FROM run), (SELECT min(id) FROM log_file), 324.2, 324.2, 90.1, 1)",
)

# The simple collections, each with what its form insists on beside a name.
COLLECTED: dict[str, dict[str, str]] = {
    "driver": {},
    "receiver": {"kind": "GPS"},
    "instrument": {"kind": "scale"},
    "charger": {},
    "supplier": {},
}


def make(folder: Path) -> Path:
    """The stored garage of the newest schema, in `folder`; where it is. Refuses to write over one."""
    target = folder / f"{HEAD}.zip"
    if target.exists():
        raise SystemExit(f"{target} is there already, and stays as it was released.")
    with tempfile.TemporaryDirectory() as work:
        garage = Path(work) / "garage"
        make_demo_garage(garage, None)
        app = create_app(Settings(garage, hosts=("testserver",), clock=lambda: NOW))
        act(TestClient(app, client=DESK, follow_redirects=False), garage)
        app.state.engine.dispose()
        with sqlite3.connect(garage / DATABASE_NAME) as connection:
            for statement in _ROWS:
                connection.execute(statement)
        if empty := empty_tables(garage):
            raise SystemExit(f"Nothing is in {', '.join(sorted(empty))}: an upgrade of them would not be tried.")
        made = Path(work) / "made.zip"
        write_backup(garage, made, ASKED_FOR, NOW)
        shutil.copy(made, target)
    return target


def act(client: TestClient, garage: Path) -> None:
    """What the demo has none of: weighings, a plan, a choice, units, a phone, a spreadsheet."""
    with sqlite3.connect(garage / DATABASE_NAME) as connection:
        [(hull, name)] = connection.execute("SELECT id, name FROM hull ORDER BY id LIMIT 1").fetchall()
        [(run,)] = connection.execute("SELECT min(id) FROM run WHERE hull_id = ?", (hull,)).fetchall()
    state = f"/hulls/{hull}/states/1/balance"
    send(client, state, part="bare hull;800;300;0;20\npack;300;250;0;15")
    send(client, f"{state}/scales", first_x="100 mm", first="900 g", second_x="500 mm", second="700 g")
    send(client, "/findings/assumptions", **filled(client, "/findings/assumptions") | {"pass_sd_sd": "0.02"})
    send(client, f"/findings/1/runs/{run}/out")
    for number in range(1, 12):
        plan = client.post(f"/findings/{number}/plan", data={"runs": "4"})
        assert plan.status_code in (303, 404, 409), plan.text
    for kind, more in COLLECTED.items():
        send(client, f"/{kind}s/new", **filled(client, f"/{kind}s/new") | {"name": f"the first {kind}"} | more)
    send(client, "/preferences/metric")
    send(client, "/pair", code=client.app.state.doorkeeper.code(), name="pocket")  # type: ignore[attr-defined]
    brought = client.post("/import", files={"sheet": ("past.csv", _PAST.format(hull=name), "text/csv")})
    address = brought.headers["location"]
    send(client, address, **client.get(address + ".json").json()["values"])
    send(client, address + "/take-in")


def filled(client: TestClient, page: str) -> dict[str, str]:
    """What stands in the form of a page that posts to the page itself."""
    forms = read_page(client.get(page).text, page)[0]
    return next(form.data for form in forms if form.action == page and form.method == "post")


def send(client: TestClient, address: str, **data: str) -> None:
    """Post a form that is accepted."""
    answer = client.post(address, data=data)
    assert answer.status_code == 303, f"{address}: {answer.status_code} {answer.text}"


def empty_tables(garage: Path) -> set[str]:
    """Tables without a row."""
    with sqlite3.connect(garage / DATABASE_NAME) as connection:
        names = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'")
        return {
            name for (name,) in names.fetchall() if not connection.execute(f'SELECT 1 FROM "{name}" LIMIT 1').fetchone()
        }


if __name__ == "__main__":
    print(make(Path(sys.argv[1])))
