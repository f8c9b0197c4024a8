"""Building the demo garage by telling its whole story: what is stored and shipped is made of it, see `storing`."""

import tomllib
from pathlib import Path
from typing import Any

from sqlmodel import Session

from garage.db.durable import make_folder
from garage.db.engine import open_engine, writing
from garage.db.facts import keep_fact
from garage.db.migrate import bring_up_to_date
from garage.demo.aftermath import write_aftermath
from garage.demo.attached import write_attached
from garage.demo.balanced import write_balances
from garage.demo.bench import write_bench_discharges, write_pack_care
from garage.demo.found import write_findings
from garage.demo.inventory import retire_what_is_gone, write_inventory
from garage.demo.logged import write_logs
from garage.demo.names import Names
from garage.demo.outings import write_season
from garage.demo.own import write_own_fields
from garage.demo.season import read_season
from garage.demo.truth import DEMO_DATA_DIR, read_truth
from garage.demo.work import write_work
from garage.paths import DATABASE_NAME, FILES_NAME
from garage.schema import REFILL, TRIGGERS


def build_demo(folder: Path) -> None:
    """Build the demo in the empty `folder`, its dates as the story tells them."""
    database, files_dir = folder / DATABASE_NAME, folder / FILES_NAME
    make_folder(files_dir)
    engine = open_engine(database)
    try:
        bring_up_to_date(engine, database, TRIGGERS, REFILL)
        with writing(engine) as session:
            keep_fact(session, "demo", "yes")
            write_demo(session, files_dir)
    finally:
        engine.dispose()


def write_demo(session: Session, files_dir: Path) -> Names:
    """Write the whole story into an empty notebook; pictures go to `files_dir`."""
    truth, season, names = read_truth(), read_season(), Names()
    inventory, story = _data("inventory"), _data("story")
    write_inventory(session, inventory, names)
    write_work(session, story, names)
    write_bench_discharges(session, story, names)
    write_season(session, season, names, truth)
    write_own_fields(session, story, names, truth)
    write_pack_care(session, story, names, truth)
    write_aftermath(session, season, story, names)
    write_balances(session, story, names)
    write_attached(session, story, names, files_dir)
    write_logs(session, files_dir, names, truth)
    write_findings(session, story, names)
    retire_what_is_gone(session, inventory, names)
    return names


def _data(name: str) -> dict[str, Any]:
    return tomllib.loads((DEMO_DATA_DIR / f"{name}.toml").read_text(encoding="utf-8"))
