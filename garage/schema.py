"""All tables and all triggers in one place, for the file to be made from."""

from garage.access import tables as _access  # noqa: F401
from garage.bench import tables as _bench  # noqa: F401
from garage.bin import tables as _bin  # noqa: F401
from garage.corrections import tables as _corrections  # noqa: F401
from garage.db import tables as _db  # noqa: F401
from garage.drives import tables as _drives  # noqa: F401
from garage.findings import tables as _findings  # noqa: F401
from garage.hulls import tables as _hulls  # noqa: F401
from garage.logs import tables as _logs  # noqa: F401
from garage.packs import tables as _packs  # noqa: F401
from garage.past_runs import tables as _past_runs  # noqa: F401
from garage.photos import tables as _photos  # noqa: F401
from garage.preferences import tables as _preferences  # noqa: F401
from garage.props import tables as _props  # noqa: F401
from garage.runs import tables as _runs  # noqa: F401
from garage.runs.triggers import TRIGGERS as _RUN_TRIGGERS
from garage.search.triggers import TRIGGERS as _SEARCH_TRIGGERS
from garage.shelf import tables as _shelf  # noqa: F401
from garage.states import tables as _states  # noqa: F401
from garage.stock import tables as _stock  # noqa: F401

TRIGGERS = [*_RUN_TRIGGERS, *_SEARCH_TRIGGERS]
