"""The collections of this room, each said once."""

from garage.inventory.collection import Collection, Words
from garage.inventory.fields import (
    CHARGER_FIELDS,
    DRIVER_FIELDS,
    DRIVER_RETIREMENT_FIELDS,
    INSTRUMENT_FIELDS,
    RECEIVER_FIELDS,
    RETIREMENT_FIELDS,
    SUPPLIER_FIELDS,
    SUPPLIER_RETIREMENT_FIELDS,
)
from garage.inventory.tables import Charger, Driver, Instrument, Receiver, Supplier
from garage.shelf.forms import mind_money

DRIVERS = Collection(
    Driver,
    "/drivers",
    Words(
        "driver",
        "drivers",
        "Who held the sticks.",
        "No driver is written down yet.",
        "The same boat runs otherwise in other hands: begin with yourself.",
        "Everything that was written down stays as it is.",
    ),
    DRIVER_FIELDS,
    DRIVER_RETIREMENT_FIELDS,
    columns=("place",),
)
RECEIVERS = Collection(
    Receiver,
    "/receivers",
    Words(
        "receiver",
        "receivers",
        "What takes down positions (GPS), or what the boat tells of itself (telemetry).",
        "No receiver is written down yet.",
        "A speed is only as good as what took it down: begin with the one that rides in the boat.",
        "Logs and speeds that came from it stay as they are.",
    ),
    RECEIVER_FIELDS,
    RETIREMENT_FIELDS,
    columns=("kind", "rate_hz", "place"),
    came="bought_on",
    mind=mind_money,
)
INSTRUMENTS = Collection(
    Instrument,
    "/instruments",
    Words(
        "instrument",
        "instruments",
        "What you measure with. A reading is no better than the smallest step of what read it.",
        "No instrument is written down yet.",
        "Thermometer, cell checker and scale are a good beginning.",
        "Readings that were taken with it stay as they are.",
    ),
    INSTRUMENT_FIELDS,
    RETIREMENT_FIELDS,
    columns=("kind", "reads", "smallest_step", "calibrated_on"),
    came="bought_on",
    mind=mind_money,
)
CHARGERS = Collection(
    Charger,
    "/chargers",
    Words(
        "charger",
        "chargers",
        "What the packs are charged with.",
        "No charger is written down yet.",
        "Write down what its maker says it can do: power, cells, current.",
        "What was charged with it stays as it is.",
    ),
    CHARGER_FIELDS,
    RETIREMENT_FIELDS,
    columns=("power", "ports", "max_cells", "max_current", "in_parallel"),
    cautions=("lipo_charging", "lipo_charger_mode", "parallel_charging"),
    came="bought_on",
    mind=mind_money,
)
SUPPLIERS = Collection(
    Supplier,
    "/suppliers",
    Words(
        "supplier",
        "suppliers",
        "Where things were bought, and where to ask.",
        "No supplier is written down yet.",
        "Begin with the one whose address you always look for.",
        "What was bought there stays as it is.",
    ),
    SUPPLIER_FIELDS,
    SUPPLIER_RETIREMENT_FIELDS,
    columns=("web",),
)
COLLECTIONS = (DRIVERS, RECEIVERS, INSTRUMENTS, CHARGERS, SUPPLIERS)
