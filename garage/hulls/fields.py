"""The fields of a hull."""

from garage.fields.definition import Field
from garage.inventory.fields import retirement

HULL_KINDS = ("mono", "catamaran", "hydroplane", "outrigger", "tunnel", "other")

FIELDS = (
    Field(
        "name", "Name", hint="what you call her", required=True, most=80, unique=True, asked="name", searched="title",
        listed=False,
    ),
    Field("kind", "Kind", "choice", choices=HULL_KINDS, required=True, asked="name", searched="text", listed=False),
    Field(
        "length", "Length", "length", "over the hull, without strut and rudder", 50, 5000, asked="size",
        origin="as written",
    ),
    Field("beam", "Beam", "length", "widest", 10, 2000, asked="size", origin="as written"),
    Field("deadrise", "Deadrise", "angle", "at the transom", 0, 60, asked="size", origin="at the transom"),
    Field("bare_mass", "Bare mass", "mass", "weighed, nothing in it", 1, 50000, asked="size", origin="weighed bare"),
    Field("material", "Material", most=120, searched="text", listed=False),
    Field("own_design", "Own design", "yes/no", listed=False),
    Field(
        "screws", "Screws", "whole", low=1, high=2, choices=(("1", "one"), ("2", "two: left and right")), default=1,
        listed=False,
    ),
    Field(
        "fixed_tube", "Fixed stuffing tube", "yes/no", "strut height and angle move together", default=True,
        listed=False,
    ),
    Field("built_on", "Built or bought on", "date", "if you know it"),
    Field("notes", "Notes", "long text", searched="text", listed=False),
)  # fmt: skip

RETIREMENT_FIELDS = retirement(
    ("sold", "wrecked", "lost", "given away", "worn out", "taken apart", "other"),
    "to whom, on what, what became of what was in her",
)
