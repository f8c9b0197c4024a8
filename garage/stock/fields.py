"""The fields of a supply."""

from garage.fields.definition import Field

FIELDS = (
    Field(
        "code", "Code", required=True, most=20, short=True, unique=True, asked="name", searched="title", listed=False
    ),
    Field(
        "name", "Name", hint="brass sheet 1 mm, M3 x 10 screws, water-proof grease", required=True, most=120,
        asked="name", searched="title", listed=False,
    ),
    Field("counted_in", "Counted in", hint="pieces, tubes, sheets", most=40, short=True, listed=False),
    Field("notes", "Notes", "long text", searched="text", listed=False),
)  # fmt: skip
# Off the shelf page at once, on the day of today.
RETIREMENT_FIELDS = (Field("retired_on", "No longer bought since", "date", indexed=True, asked="", listed=False),)
