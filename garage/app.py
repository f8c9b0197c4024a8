"""The app: rooms mounted, static files, guards and error pages; nothing else."""

import gc

from fastapi import FastAPI
from fastapi.staticfiles import StaticFiles
from sqlalchemy import Engine

from garage.access.pages import pages as access
from garage.access.store import Doorkeeper
from garage.bench.pages import pages as bench
from garage.bin.pages import pages as set_aside
from garage.boats.pages import pages as boats
from garage.builds.pages import pages as builds
from garage.corrections.pages import pages as corrections
from garage.db.engine import open_engine, reading
from garage.db.facts import fact
from garage.db.migrate import bring_up_to_date, refuse_unless_up_to_date
from garage.drives.pages import pages as drives
from garage.errors import UnusableData
from garage.findings.pages import pages as findings
from garage.home.pages import pages as home
from garage.hulls.pages import pages as hulls
from garage.items.pages import pages as items
from garage.logs.pages import pages as logs
from garage.logs.run_slip import slip_of_run
from garage.packs.pages import pages as packs
from garage.past_runs.pages import pages as past_runs
from garage.paths import STATIC_DIR
from garage.photos.pages import pages as photos
from garage.preferences.pages import pages as preferences
from garage.preferences.store import unit_choices
from garage.props.pages import pages as props
from garage.records.pages import pages as records
from garage.runs.pages import pages as runs
from garage.runs.slip_from_above import tell_slip_by
from garage.schema import TRIGGERS
from garage.search.pages import pages as search
from garage.settings import Settings
from garage.shelf.pages import pages as shelf
from garage.stock.pages import pages as stock
from garage.units import DisplayUnits
from garage.web.faults import add_faults
from garage.web.guard import Guard
from garage.web.templates import make_environment

# In the order in which addresses are looked up: what is asked for most often first.
ROOMS = (
    home,
    runs,
    boats,
    hulls,
    builds,
    items,
    props,
    packs,
    drives,
    records,
    findings,
    logs,
    bench,
    search,
    stock,
    shelf,
    photos,
    corrections,
    preferences,
    access,
    set_aside,
    past_runs,
)


def create_app(settings: Settings) -> FastAPI:
    """The app on one data folder. Raises UnusableData in words if the folder or its file cannot be used."""
    engine = _engine(settings)
    tell_slip_by(slip_of_run)

    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
    app.state.settings = settings
    app.state.engine = engine
    app.state.templates = make_environment()
    with reading(engine) as session:
        app.state.units = DisplayUnits(unit_choices(session))
        app.state.demo = fact(session, "demo") == "yes"
    app.state.doorkeeper = Doorkeeper(engine, settings.clock, keeps_phones=not settings.read_only)

    for room in ROOMS:
        room.mount(app)
    app.mount("/static", StaticFiles(directory=STATIC_DIR), name="static")
    add_faults(app)
    app.add_middleware(Guard, settings=settings, is_paired=app.state.doorkeeper.is_paired)
    gc.freeze()
    return app


def _engine(settings: Settings) -> Engine:
    """The file, ready to be worked on. Raises UnusableData in words."""
    engine = open_engine(settings.database, read_only=settings.read_only)
    if settings.read_only:
        refuse_unless_up_to_date(engine, settings.database)
        return engine
    try:
        settings.files_dir.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise UnusableData(f"The data folder {settings.data_dir} cannot be used: {error.strerror}.") from error
    bring_up_to_date(engine, settings.database, TRIGGERS)
    return engine
