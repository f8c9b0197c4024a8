"""The fields of a modification, and of its steps."""

from dataclasses import replace

from garage.calc.section import SECTIONS
from garage.fields.definition import Field
from garage.own_fields.at_hand import with_own

PERMANENCES = ("removable", "permanent")
STEP_ACTIONS = (
    "mark out", "cut", "shape", "bend", "bond", "fair", "sand", "seal", "paint", "drill", "tape", "fit", "weigh",
    "other",
)  # fmt: skip

FIELDS = (
    Field(
        "title", "Title", hint="trim tabs, turn fin, lighter hatch", required=True, most=120, searched="title",
        listed=False,
    ),
    Field("purpose", "What it is for", "long text", most=2000, searched="text", listed=False),
    Field(
        "expected", "What you expect of it", "long text",
        "drier, faster, steadier in the turn: by how much, roughly?", most=2000, searched="text", listed=False,
    ),
    Field(
        "permanence", "Can it come off again?", "choice",
        choices=tuple(zip(PERMANENCES, ("removable", "permanent: glued, cut or filled for good"), strict=True)),
        required=True, default="removable", listed=False, checked=False,
    ),
    Field("trial", "A trial", "yes/no", "put on for a day, to see before committing", listed=False),
    Field("notes", "Notes", "long text", searched="text", listed=False),
)  # fmt: skip


def all_fields() -> tuple[Field, ...]:
    """The fields of a modification, with those that a person added."""
    return with_own("modification", FIELDS)


# The sections of a step's form that say what the piece weighs.
PIECE = ("material", "density", "shape", "size", "length", "counted", "weighed")
ACTION = Field(
    "action", "Step", "choice", choices=STEP_ACTIONS, required=True, asked="step", searched="title", listed=False
)
WHAT = Field(
    "what", "What was done", hint="bent to 3°, holes drilled", most=300, asked="step", searched="title", listed=False
)
# Its choices are the materials that are known when the form is made (`step_forms.fields_with`).
MATERIAL = Field("material", "Material", most=120, asked="material", searched="text", listed=False)
DENSITY = Field("density", "Density", "density", low=1, high=25000, asked="density", listed=False)

STEP_FIELDS = (
    ACTION,
    WHAT,
    MATERIAL,
    DENSITY,
    Field(
        "section", "Section", "choice", choices=tuple((name, shape.title) for name, shape in SECTIONS.items()),
        asked="shape", listed=False, checked=False,
    ),
    Field("width", "Width", "length", low=0, above_low=True, high=2000, asked="size", listed=False),
    Field("height", "Height or thickness", "length", low=0, above_low=True, high=2000, asked="size", listed=False),
    Field("diameter", "Diameter", "length", low=0, above_low=True, high=2000, asked="size", listed=False),
    Field("wall", "Wall", "length", low=0, above_low=True, high=200, asked="size", listed=False),
    Field("area", "Area", "area", low=0, above_low=True, high=1000000, asked="size", listed=False),
    Field(
        "length", "Length", "length", "of one piece", 0, 10000, above_low=True, asked="length", listed=False
    ),
    Field("count", "How many", "whole", low=1, high=1000, default=1, asked="length", listed=False),
    # Off for a piece that an earlier step has named already, so that it is not weighed twice.
    Field(
        "adds_mass", "Adds its mass", "yes/no", "untick if an earlier step has named this piece", default=True,
        asked="counted", listed=False,
    ),
    Field(
        "mass_weighed", "Weighed", "mass",
        "goes before the computed mass; minus for what came off. With “weigh”: all so far", -50000, 50000,
        asked="weighed", origin="weighed", listed=False,
    ),
    Field("adhesive", "Glue or sealant", most=120, asked="glue", searched="text", listed=False),
    Field("cure", "Time to cure", "hours", low=0, high=10000, asked="finish", listed=False),
    Field(
        "cure_temperature", "Temperature while curing", "temperature", low=-20, high=150, asked="finish", listed=False
    ),
    Field(
        "finish", "Finish", hint="varnish, primer, wet-sanded", most=120, asked="finish", searched="text", listed=False
    ),
    Field("coats", "Coats", "whole", low=0, high=100, asked="finish", listed=False),
    Field(
        "done", "When it was done", "moment", "leave open while it is not", asked="when", offset="", listed=False
    ),
    Field(
        "minutes", "Time spent", "minutes", low=0, high=100000, column="minutes_spent", asked="when", short=True,
        origin="written down", listed=False,
    ),
    Field("note", "Note", "long text", searched="text", listed=False),
)  # fmt: skip

# A step in one line, for fingers with glue on them.
QUICK_STEP_FIELDS = (ACTION, replace(WHAT, label="What", hint="in a word", required=True))
