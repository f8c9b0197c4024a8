"""The fields of a modification."""

from garage.fields.definition import Field

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
        choices=(("removable", "removable"), ("permanent", "permanent: glued, cut or filled for good")),
        required=True, default="removable", listed=False, checked=False,
    ),
    Field("trial", "A trial", "yes/no", "put on for a day, to see before committing", listed=False),
    Field("notes", "Notes", "long text", searched="text", listed=False),
)  # fmt: skip
