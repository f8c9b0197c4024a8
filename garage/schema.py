"""All tables, all kinds of things and all triggers in one place, for the file to be made from."""

from garage.access import tables as _access  # noqa: F401
from garage.bench import tables as _bench  # noqa: F401
from garage.bin import tables as _bin  # noqa: F401
from garage.corrections import tables as _corrections  # noqa: F401
from garage.corrections import things as corrections
from garage.db import tables as _db  # noqa: F401
from garage.db.last_action import TRIGGERS as _ACTION_TRIGGERS
from garage.drives import tables as _drives  # noqa: F401
from garage.drives import things as drives
from garage.findings import tables as _findings  # noqa: F401
from garage.hulls import tables as _hulls  # noqa: F401
from garage.hulls import things as hulls
from garage.inventory import tables as _inventory  # noqa: F401
from garage.inventory import things as inventory
from garage.logs import tables as _logs  # noqa: F401
from garage.logs import things as logs
from garage.modifications import things as modifications
from garage.own_fields import tables as _own_fields  # noqa: F401
from garage.own_fields import things as own_fields
from garage.packs import tables as _packs  # noqa: F401
from garage.packs import things as packs
from garage.past_runs import tables as _past_runs  # noqa: F401
from garage.photos import tables as _photos  # noqa: F401
from garage.photos import things as photos
from garage.preferences import tables as _preferences  # noqa: F401
from garage.props import tables as _props  # noqa: F401
from garage.props import things as props
from garage.runs import tables as _runs  # noqa: F401
from garage.runs import things as runs
from garage.runs.triggers import TRIGGERS as _RUN_TRIGGERS
from garage.search.triggers import refill, search_triggers
from garage.services import things as services
from garage.shelf import tables as _shelf  # noqa: F401
from garage.shelf import things as shelf
from garage.states import tables as _states  # noqa: F401
from garage.states import things as states
from garage.stock import tables as _stock  # noqa: F401
from garage.stock import things as stock
from garage.things import Things, kinds_of
from garage.waters import things as waters

THINGS = Things(
    kinds_of(
        hulls.THINGS,
        modifications.THINGS,
        states.THINGS,
        props.THINGS,
        packs.THINGS,
        drives.THINGS,
        waters.THINGS,
        runs.THINGS,
        photos.THINGS,
        stock.THINGS,
        inventory.THINGS,
        services.THINGS,
        shelf.THINGS,
        corrections.THINGS,
        logs.THINGS,
        own_fields.THINGS,
    )
)
TRIGGERS = [*_RUN_TRIGGERS, *_ACTION_TRIGGERS, *search_triggers(THINGS)]
# What fills the full text that is searched.
REFILL = refill(THINGS)
