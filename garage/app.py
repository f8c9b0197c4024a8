"""The app: rooms mounted, static files, guards and error pages; nothing else."""

import gc

from fastapi import FastAPI
from fastapi.staticfiles import StaticFiles
from sqlalchemy import Engine

from garage.access.pages import pages as access
from garage.access.store import Doorkeeper
from garage.addresses.pages import pages as addresses
from garage.bench.balance.pages import pages as bench_balance
from garage.bench.calculator_pages import pages as bench_calculator
from garage.bin.pages import pages as set_aside
from garage.boats.hull_pages import pages as boats_hull
from garage.boats.modification_pages import pages as boats_modification
from garage.boats.state_pages import pages as boats_state
from garage.corrections.pages import pages as corrections
from garage.db.durable import make_folder
from garage.db.engine import open_engine, reading
from garage.db.facts import fact
from garage.db.migrate import bring_up_to_date, refuse_unless_up_to_date
from garage.drives.pages import pages as drives
from garage.errors import UnusableData
from garage.evening.pages import pages as evening
from garage.findings.answer_pages import pages as findings_answer
from garage.findings.ask_pages import pages as findings_ask
from garage.findings.closing_pages import pages as findings_closing
from garage.findings.decide_pages import pages as findings_decide
from garage.findings.plan.pages import pages as findings_plan
from garage.findings.prior_pages import pages as findings_prior
from garage.home.pages import pages as home
from garage.hulls.pages import pages as hulls
from garage.inventory.pages import pages as inventory
from garage.items.drive_pages import pages as items_drive
from garage.items.label_pages import pages as items_label
from garage.items.packs.choice_pages import pages as items_packs_choice
from garage.items.packs.pages import pages as items_packs
from garage.items.prop_pages import pages as items_prop
from garage.logs.log_pages import pages as logs_log
from garage.logs.look_over import look_over_logs
from garage.logs.owner_pages import pages as logs_owner
from garage.logs.pieces.pages import pages as logs_pieces
from garage.logs.pieces.run_slip import slip_of_run
from garage.modifications.pages import pages as modifications
from garage.modifications.step_pages import pages as modifications_step
from garage.modifications.visit_pages import pages as modifications_visit
from garage.outings.insertion_pages import pages as outings_insertion
from garage.outings.pages import pages as outings
from garage.outings.pit_pages import pages as outings_pit
from garage.packs.ageing.pages import pages as packs_ageing
from garage.packs.log.many_pages import pages as packs_log_many
from garage.packs.log.pages import pages as packs_log
from garage.packs.pages import pages as packs
from garage.packs.set_pages import pages as packs_set
from garage.past_runs.pages import pages as past_runs
from garage.paths import STATIC_DIR
from garage.photos.pages import pages as photos
from garage.preferences.pages import pages as preferences
from garage.preferences.store import unit_choices
from garage.props.pages import pages as props
from garage.records.rebuild_pages import pages as records_rebuild
from garage.records.record_pages import pages as records_record
from garage.runs import rests_store
from garage.runs.next_pages import pages as runs_next
from garage.runs.pages import pages as runs
from garage.schema import REFILL, THINGS, TRIGGERS
from garage.search.pages import pages as search
from garage.services.pages import pages as services
from garage.settings import Settings
from garage.shelf.pages import pages as shelf
from garage.states.pages import pages as states
from garage.stock.pages import pages as stock
from garage.units import DisplayUnits
from garage.waters.pages import pages as waters
from garage.web.faults import add_faults
from garage.web.guard import Guard
from garage.web.templates import make_environment

# In the order in which addresses are looked up: what is asked for most often first.
ROOMS = (
    home,
    evening,
    outings,
    runs,
    waters,
    outings_insertion,
    outings_pit,
    runs_next,
    boats_hull,
    boats_modification,
    boats_state,
    hulls,
    modifications,
    services,
    states,
    modifications_step,
    modifications_visit,
    items_packs,
    items_drive,
    items_label,
    items_packs_choice,
    items_prop,
    props,
    packs_ageing,
    packs_log,
    packs,
    packs_log_many,
    packs_set,
    drives,
    records_rebuild,
    records_record,
    findings_plan,
    findings_answer,
    findings_ask,
    findings_closing,
    findings_decide,
    findings_prior,
    logs_pieces,
    logs_log,
    logs_owner,
    bench_balance,
    bench_calculator,
    search,
    stock,
    shelf,
    inventory,
    photos,
    corrections,
    preferences,
    access,
    set_aside,
    past_runs,
    addresses,
)


def create_app(settings: Settings) -> FastAPI:
    """The app on one data folder. Raises UnusableData in words if the folder or its file cannot be used."""
    engine = _engine(settings)

    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
    app.state.settings = settings
    app.state.engine = engine
    app.state.things = THINGS
    app.state.rests = rests_store
    app.state.measured_slip = slip_of_run
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
        make_folder(settings.files_dir)
    except OSError as error:
        raise UnusableData(f"The data folder {settings.data_dir} cannot be used: {error.strerror}.") from error
    bring_up_to_date(engine, settings.database, TRIGGERS, REFILL)
    look_over_logs(engine)
    return engine
