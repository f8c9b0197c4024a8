"""The fields of a piece of hardware of any kind."""

from garage.drives.figures import FIGURES, PART_KINDS
from garage.fields.definition import Field
from garage.inventory.fields import retirement
from garage.own_fields.at_hand import own

FIELDS = (
    Field(
        "code", "Code", hint="written on it", required=True, most=20, short=True, unique=True, asked="name",
        searched="title", listed=False,
    ),
    # Chosen before the form is shown, and never changed: the figures go by it.
    Field(
        "kind", "Kind", "choice", choices=PART_KINDS, required=True, indexed=True, asked="", searched="title",
        listed=False,
    ),
    Field(
        "name", "Name", hint="what is printed on it, or what you call it", most=120, asked="name", searched="title",
        listed=False,
    ),
    Field("kv_stated", "Kv stated", "kv", "no load", 10, 20000, asked="figures", origin="stated by the maker"),
    Field(
        "kv_measured", "Kv measured", "kv", "the label is often 5 to 10 % off (from memory)", 10, 20000,
        asked="figures", origin="measured",
    ),
    Field("poles", "Poles", "whole", "an even number", 2, 40, asked="figures"),
    Field(
        "resistance", "Resistance", "resistance", "between two leads", 0.01, 10000, asked="figures",
        origin="measured or stated",
    ),
    Field(
        "no_load_current", "No-load current", "current", "spinning free; write the voltage under notes", 0, 200,
        asked="figures", origin="measured or stated",
    ),
    Field(
        "max_current", "Most current", "current", "continuous", 0.1, 2000, asked="figures",
        origin="stated by the maker",
    ),
    Field("max_cells", "Most cells in series", "whole", "", 1, 20, asked="figures", origin="stated by the maker"),
    Field(
        "cut_off", "Cut-off, per cell", "voltage", "some controllers count cells when plugged in: plug in full packs",
        2, 4.2, column="cut_off_v_per_cell", asked="figures", origin="as set",
    ),
    Field("timing", "Timing", "angle", "", -10, 40, asked="figures", origin="as set or recommended"),
    Field(
        "throttle_calibrated_on", "Throttle calibrated on", "date", asked="figures", origin="as written down"
    ),
    Field(
        "capacitance", "Capacitance, all together", "capacitance", "", 1, 1000000, asked="figures",
        origin="stated by the maker",
    ),
    Field("diameter", "Diameter", "length", "", 0.1, 1000, asked="figures", origin="measured or stated"),
    Field("length", "Length", "length", "", 0.1, 5000, asked="figures", origin="measured or stated"),
    Field("mass", "Mass", "mass", "", 0.01, 20000, asked="figures", origin="weighed or stated"),
    Field("material", "Material", most=120, searched="text"),
    Field("bought_on", "Bought on", "date"),
    Field("notes", "Notes", "long text", searched="text", listed=False),
)  # fmt: skip


def fields_of_kind(kind: str) -> tuple[Field, ...]:
    """The fields of a part of `kind`: those of every part, the figures that its kind has, and a person's own."""
    others = {name for names in FIGURES.values() for name in names}.difference(FIGURES.get(kind, ()))
    return (*(field for field in FIELDS if field.name not in others), *own("part"))


def figures_of_kind(kind: str) -> tuple[Field, ...]:
    """The figures of a part of `kind` alone."""
    return tuple(field for field in fields_of_kind(kind) if field.asked == "figures")


RETIREMENT_FIELDS = retirement(
    ("sold", "burnt out", "broken", "lost", "given away", "worn out", "other"), "what broke, to whom"
)
