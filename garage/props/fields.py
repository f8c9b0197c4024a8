"""The fields of a prop, which stay through every rework, and those of its editions."""

from garage.fields.definition import Field
from garage.inventory.fields import retirement
from garage.own_fields.at_hand import with_own

HANDS = ("right", "left")
PROP_MATERIALS = ("plastic", "aluminium", "brass", "stainless steel", "beryllium copper", "carbon", "other")
LIFTINGS = ("lifting", "not lifting")
LEAST_PITCH_MM, MOST_PITCH_MM = 5, 600
CONDITIONS = ("good", "nicked", "bent", "cracked", "unusable")

FIELDS = (
    Field(
        "code", "Code", hint="what you scratch or paint on it", required=True, most=20, short=True, unique=True,
        asked="name", searched="title", listed=False,
    ),
    Field("blades", "Blades", "whole", low=1, high=8, required=True, default=2, short=True, asked="made of"),
    Field(
        "hand", "Hand", "choice", "right turns clockwise, seen from behind", choices=HANDS, required=True,
        default="right", asked="kind",
    ),
    Field("material", "Material", "choice", choices=PROP_MATERIALS, asked="made of", searched="text"),
    Field(
        "lifting", "Family", "choice", "lifting ones are for hydros", choices=LIFTINGS, asked="kind", searched="text",
        checked=False,
    ),
    Field(
        "printed_name", "Printed name", hint="as it stands on it or on its bag; left open, the size is kept", most=120,
        asked="printed", searched="title", listed=False,
    ),
    Field("bore", "Bore", hint="4.76 mm, 3/16 in, M5 …", most=60, asked="printed"),
    Field("bought_on", "Bought on", "date"),
    Field("notes", "Notes", "long text", searched="text", listed=False),
)  # fmt: skip

EDITION_FIELDS = (
    Field("diameter", "Diameter", "length", low=5, high=300, asked="size", listed=False),
    Field("pitch", "Pitch", "length", low=LEAST_PITCH_MM, high=MOST_PITCH_MM, asked="size", listed=False),
    Field("mass", "Mass", "mass", "weighed", 0.1, 2000, asked="figures", origin="weighed"),
    Field(
        "condition", "Condition", "choice", choices=CONDITIONS, required=True, default="good", asked="figures",
        searched="text",
    ),
    Field("note", "Note", "long text", asked="note", searched="text", listed=False),
)  # fmt: skip

RETIREMENT_FIELDS = retirement(("sold", "broken", "lost", "given away", "worn out", "other"), "what broke, to whom")


def all_fields() -> tuple[Field, ...]:
    """The fields of a prop, with those that a person added."""
    return with_own("prop", FIELDS)
