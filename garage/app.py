"""The app: where the rooms have their addresses, static files, guards and error pages; nothing else."""

import gc
import hashlib
import secrets

from fastapi import FastAPI
from fastapi.staticfiles import StaticFiles
from sqlalchemy import Engine
from sqlmodel import Session

from garage.access.store import Doorkeeper
from garage.db.durable import make_folder
from garage.db.engine import open_engine, reading
from garage.db.facts import fact
from garage.db.last_action import newest_action
from garage.db.migrate import bring_up_to_date, refuse_unless_up_to_date
from garage.errors import UnusableData
from garage.loading import loaded
from garage.logs.not_looked_over import not_looked_over
from garage.measures import Measure
from garage.paths import STATIC_DIR
from garage.preferences.store import unit_choices
from garage.runs import rests_store
from garage.schema import REFILL, THINGS, TRIGGERS
from garage.settings import Settings
from garage.units import DisplayUnits
from garage.web.faults import add_faults
from garage.web.following import Written
from garage.web.guard import Guard
from garage.web.late import OpensRooms, Rooms
from garage.web.templates import make_environment

# Where each module of pages has its addresses, as shapes (`web/late.py`), in the order in which they are looked up:
# what is asked for most often first. A module is imported when an address of one of its shapes is first asked for.
ROOMS = {
    "home.pages": "/ /rooms /wants /home/...",
    "evening.pages": "/outings/#/evening",
    "evening.instrument_pages": "/preferences/instruments /preferences/instruments/never/*",
    "mending.pages": "/otherwise/...",
    "outings.pages": "/outings/...",
    "runs.pages": "/runs/...",
    "waters.pages": "/waters/...",
    "outings.insertion_pages": "/hulls/#/changes/past /hulls/#/states/#/withdraw",
    "outings.pit_pages": "/pit",
    "runs.next.pages": "/runs/try-next /runs/#/try-next/*",
    "boats.hull_pages": "/hulls/# /hulls/#/history",
    "boats.list_pages": "/hulls",
    "boats.modification_pages": "/modifications/# /modifications/#/steps",
    "boats.state_pages": "/hulls/#/states /hulls/#/states/# /hulls/#/states/#/against/...",
    "hulls.pages": "/hulls/new /hulls/#/edit /hulls/#/retire /hulls/#/return /hulls/#/lists/...",
    "modifications.pages": "/hulls/#/modifications/... /modifications/#/*",
    "services.pages": "/hulls/#/service/... /service/...",
    "states.pages": "/hulls/#/states/#/mend",
    "modifications.step_pages": "/modifications/#/steps/new /steps/...",
    "modifications.visit_pages": "/hulls/#/changes/new /hulls/#/states/#/back/#",
    "items.packs.pages": "/packs /packs/#",
    "items.drive_pages": "/drives /drives/#",
    "items.label_pages": "/packs/#/label /packs/labels /props/#/label /props/labels",
    "items.packs.choice_pages": "/packs/which /packs/against /packs/#/did",
    "items.prop_pages": "/props /props/#",
    "props.pages": "/props/new /props/size /props/#/* /props/#/editions/...",
    "packs.ageing.pages": "/packs/#/ageing",
    "packs.log.pages": "/packs/#/log/... /packs/#/readings/...",
    "packs.pages": "/packs/new /packs/#/*",
    "packs.log.many_pages": "/packs/log/...",
    "packs.set_pages": "/packs/sets/...",
    "drives.pages": "/drives/new /drives/#/*",
    "records.rebuild_pages": "/runs/#/rebuild",
    "records.record_pages": "/records",
    "findings.plan.pages": "/findings/#/plan/...",
    "findings.answer_pages": "/findings /findings/# /findings/#/runs/#/* /findings/#/noticed /findings/#/causes "
    "/hulls/#/findings",
    "findings.ask_pages": "/findings/ask /findings/of-prop/# /findings/of-pack/# "
    "/findings/before-step/# /hulls/#/findings/states",
    "findings.closing_pages": "/outings/#/close /outings/open /outings/many/*/*",
    "findings.decide_pages": "/findings/#/decide /findings/#/decisions/...",
    "findings.prior_pages": "/findings/assumptions/...",
    "logs.pieces.pages": "/logs/#/pieces/...",
    "logs.log_pages": "/logs/# /logs/#/*",
    "logs.owner_pages": "/logs /logs/reading /logs/many/... /runs/#/logs/... /outings/#/logs /hulls/#/corners",
    "bench.balance.pages": "/hulls/#/states/#/balance/...",
    "bench.calculator_pages": "/bench/...",
    "search.pages": "/search/...",
    "stock.pages": "/stock/...",
    "stock.entry_pages": "/shelf/...",
    "shelf.lend_pages": "/lend/... /loans/...",
    "inventory.pages": "/drivers/... /receivers/... /instruments/... /chargers/... /suppliers/...",
    "photos.pages": "/files/... /attachments/...",
    "preferences.pages": "/preferences/...",
    "own_fields.pages": "/own-fields/...",
    "access.pages": "/access/... /pair/...",
    "bin.pages": "/bin /undo/# /sent/* /newest",
    "past_runs.pages": "/import/...",
    "addresses.pages": "/openapi /data/...",
}


def create_app(settings: Settings) -> FastAPI:
    """The app on one data folder. Raises UnusableData in words if the folder or its file cannot be used."""
    engine = _engine(settings)

    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
    app.state.settings = settings
    app.state.engine = engine
    app.state.start = secrets.token_hex(4)
    app.state.garage = hashlib.sha256(str(settings.data_dir.resolve()).encode()).hexdigest()[:12]
    app.state.things = THINGS
    app.state.rests = rests_store
    app.state.measured_slip = _slip_of_run
    app.state.templates = make_environment()
    with reading(engine) as session:
        app.state.units = DisplayUnits(unit_choices(session))
        app.state.demo = fact(session, "demo") == "yes"
        app.state.written = Written(newest_action(session))
    app.state.doorkeeper = Doorkeeper(engine, settings.clock, keeps_phones=not settings.read_only)

    app.state.rooms = Rooms(app, ROOMS)
    app.mount("/static", StaticFiles(directory=STATIC_DIR), name="static")
    add_faults(app)
    app.add_middleware(OpensRooms, rooms=app.state.rooms)
    app.add_middleware(Guard, settings=settings, phone=app.state.doorkeeper.phone)
    gc.freeze()
    return app


def _engine(settings: Settings) -> Engine:
    """The file, ready to be worked on. Raises UnusableData in words."""
    engine = open_engine(settings.database, read_only=settings.read_only)
    if settings.read_only:
        refuse_unless_up_to_date(engine, settings.database)
        return engine
    try:
        make_folder(settings.files_dir)
    except OSError as error:
        raise UnusableData(f"The data folder {settings.data_dir} cannot be used: {error.strerror}.") from error
    bring_up_to_date(engine, settings.database, TRIGGERS, REFILL)
    with reading(engine) as session:
        waiting = not_looked_over(session)
    if waiting:
        loaded("garage.logs.look_over:look_over_logs")(engine)
    return engine


def _slip_of_run(session: Session, run_id: int) -> list[tuple[str, Measure]]:
    """What the logs tell of a run's slip; they are imported when that is first asked."""
    return loaded("garage.logs.pieces.run_slip:slip_of_run")(session, run_id)
