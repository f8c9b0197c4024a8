"""The fields of a pack, of the entries of its log, of its resistance readings, and of sets of packs."""

from garage.fields.definition import Field
from garage.inventory.fields import retirement
from garage.own_fields.at_hand import with_own

# A cell of a pack of any size lies within; common practice, no source.
LEAST_MOHM, MOST_MOHM = 0.05, 150
MOST_BREAK_IN = 50
# What a person writes into a log; a run enters its own discharge by itself.
ENTRIES = (
    ("bench", "discharge on the bench"),
    ("capacity", "capacity test, full to empty"),
    ("charge", "charged full"),
    ("storage", "storage charge"),
    ("look", "resting volts looked at"),
)
READING_METHODS = ("charger DC step", "AC 1 kHz", "sag in a run", "other")
WIRINGS = ("series", "parallel")

FIELDS = (
    Field(
        "code", "Code", hint="what you write on it", required=True, most=20, short=True, unique=True, asked="name",
        searched="title", listed=False,
    ),
    Field("name", "Name", hint="what is printed on it", most=80, asked="name", searched="title", listed=False),
    Field(
        "cells_s", "Cells in series", "whole", "S", 1, 14, required=True, asked="cells", short=True, listed=False
    ),
    Field("cells_p", "Cells in parallel", "whole", "P", 1, 10, default=1, asked="cells", short=True, listed=False),
    Field(
        "capacity", "Capacity", "charge", "stated", 50, 50000, required=True, asked="cells",
        origin="stated by the maker",
    ),
    Field(
        "capacity_measured", "Capacity measured", "charge", "by a full discharge", 10, 50000, asked="known",
        origin="measured",
    ),
    Field(
        "stated_c", "Stated C", "number", low=1, high=500, asked="known", short=True, origin="stated by the maker",
    ),
    Field(
        "full_v_per_cell", "Full, for each cell", "voltage", low=3.5, high=4.5, default=4.2, column="full_v_per_cell",
        asked="known", origin="stated",
    ),
    Field("mass", "Mass", "mass", "weighed, with plug", 1, 20000, asked="known", origin="weighed"),
    Field(
        "limit", "Retire at", "resistance", "at 25 °C; empty for twice its first readings", LEAST_MOHM, MOST_MOHM,
        asked="limit", origin="your limit for a cell at 25 °C",
    ),
    Field("connector", "Connector", most=80, asked="known", searched="text"),
    Field("bought_on", "Bought on", "date", asked="age"),
    Field("first_charged_on", "First charge", "date", asked="age"),
    Field(
        "charges_before", "Charges before this notebook", "whole", "0 for a new pack", 0, 5000, default=0, asked="age",
        short=True, listed=False,
    ),
    Field(
        "break_in_charges", "Gentle charges for break-in", "whole", "your rule; 0 for none", 0, MOST_BREAK_IN,
        default=4, asked="age", short=True, listed=False,
    ),
    Field(
        "break_in_c", "At most how many C meanwhile", "number", low=0.1, high=100, asked="age", short=True,
        listed=False, checked=False,
    ),
    Field("notes", "Notes", "long text", searched="text", listed=False),
)  # fmt: skip


def all_fields() -> tuple[Field, ...]:
    """The fields of a pack, with those that a person added."""
    return with_own("pack", FIELDS)


# None is `listed`: the table of the log has a column for each. Unchecked, since runs write wider figures.
LOG_FIELDS = (
    Field(
        "kind", "What", "choice", choices=ENTRIES, required=True, default="bench", asked="what", listed=False,
        checked=False,
    ),
    Field("at", "When", "moment", required=True, column="at", asked="what", listed=False),
    Field(
        "charge", "Charge", "charge", "taken out or put in", 1, 100000, asked="figures", origin="read off",
        listed=False, checked=False,
    ),
    Field(
        "current", "Current", "current", low=0.01, high=1000, asked="figures", origin="set or read off", listed=False,
        checked=False,
    ),
    Field(
        "temperature", "Temperature after", "temperature", low=-20, high=150, asked="figures", origin="measured",
        listed=False, checked=False,
    ),
    Field("note", "Note", "long text", most=1000, searched="text", listed=False),
)  # fmt: skip

READING_FIELDS = (
    Field("method", "Method", "choice", choices=READING_METHODS, required=True, asked="how", listed=False),
    Field(
        "instrument", "Instrument", hint="always the same one, if you can", most=80, asked="how", searched="title",
        listed=False,
    ),
    Field(
        "temperature", "Temperature of the pack", "temperature", low=-20, high=90, asked="how",
        origin="of the pack, measured", listed=False, checked=False,
    ),
    Field(
        "state_of_charge", "State of charge", "percent", low=0, high=100, asked="how", origin="state of charge",
        listed=False,
    ),
    Field(
        "rest", "Rest before", "minutes", low=0, high=100000, asked="how", origin="rest before the reading",
        listed=False,
    ),
    Field("at", "When", "moment", required=True, column="at", asked="when", listed=False),
    Field("note", "Note", "long text", most=1000, searched="text", listed=False),
)  # fmt: skip

SET_FIELDS = (
    Field("name", "Name", required=True, most=80, searched="title"),
    Field("wiring", "Wired in", "choice", choices=WIRINGS, required=True, default="series"),
)

RETIREMENT_FIELDS = retirement(
    (
        "worn out",
        "damaged",
        "sold",
        "given away",
        "lost",
        "handed in at a collecting point",
        "other",
    ),
    "puffed, one cell low, to whom",
)
