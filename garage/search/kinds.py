"""The kinds of things that can be found, and which rows of the full-text table are theirs.

Each kind has a span of row numbers of its own, so that the newest matches of one kind are read without a
look at the others.
"""

KIND_SPAN = 2**40

# kind -> (number, heading of its results)
KINDS: dict[str, tuple[int, str]] = {
    "hull": (1, "Hulls"),
    "modification": (2, "Modifications"),
    "step": (3, "Steps"),
    "state": (4, "Build states"),
    "change": (5, "Changes"),
    "prop": (6, "Props"),
    "edition": (7, "Prop editions"),
    "pack": (8, "Packs"),
    "drive": (9, "Drives"),
    "water": (10, "Waters"),
    "outing": (11, "Outings"),
    "run": (12, "Runs"),
    "incident": (13, "Incidents"),
    "note": (14, "Notes, pictures, sound, links"),
    "supply": (15, "Supplies"),
    "service": (16, "Service"),
    "shelf": (17, "On the shelf"),
    "set": (18, "Sets of packs"),
    "correction": (19, "Corrections"),
    "pack log": (20, "Pack log"),
    "pack reading": (21, "Resistance readings"),
    "temperature": (22, "Temperatures after runs"),
    "list line": (23, "Lines of lists"),
    "log": (24, "Logs"),
}


def first_row(kind: str) -> int:
    """The row number that a thing of `kind` with id 0 would have."""
    return KINDS[kind][0] * KIND_SPAN


def id_of_row(row: int) -> int:
    """The id of the thing behind a row of the full-text table."""
    return row % KIND_SPAN
