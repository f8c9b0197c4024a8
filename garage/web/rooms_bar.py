"""The rooms of the notebook as a person knows them: what stands in the bar, and in which of them a page lies."""

from dataclasses import dataclass


@dataclass(frozen=True)
class RoomLink:
    """One room in the bar: its name, its first page, what is done there, and the beginnings of its addresses.

    A `#` in a beginning stands for a number.
    """

    name: str
    address: str
    about: str
    beginnings: tuple[str, ...]


HOME = RoomLink("Home", "/", "the last run, what comes next, what wants attention", ("/home", "/wants"))
FIND = RoomLink("Find", "/search", "any word, code or name in the notebook", ("/search",))
# In the order of the bar.
BAR = (
    HOME,
    RoomLink("Boats", "/hulls", "each boat as she stands, her history and modifications",
             ("/hulls", "/modifications", "/steps", "/attachments/hull", "/attachments/state",
              "/attachments/modification", "/attachments/step", "/otherwise/hull", "/otherwise/state",
              "/otherwise/modification", "/otherwise/step")),
    RoomLink("Outings", "/outings", "days at the water, their runs and logs",
             ("/outings", "/runs", "/logs", "/waters", "/pit", "/import", "/otherwise",
              "/attachments/run", "/attachments/outing", "/attachments/unsorted")),
    RoomLink("Findings", "/findings", "what a change really gained", ("/findings", "/hulls/#/findings")),
    RoomLink("Records", "/records", "the fastest figures, one list for each way of measuring",
             ("/records", "/runs/#/rebuild")),
    RoomLink("Packs", "/packs", "which are fit, how they age, which to take",
             ("/packs", "/attachments/pack", "/otherwise/pack", "/otherwise/pack_log", "/otherwise/reading")),
    RoomLink("Props", "/props", "every prop with its reworks and speeds",
             ("/props", "/attachments/prop", "/otherwise/prop")),
    RoomLink("Drives", "/drives", "motors, controllers, shafts, struts, rudders",
             ("/drives", "/attachments/part", "/otherwise/part")),
    RoomLink("Workshop", "/stock", "the shelf, what runs low, what is wished for, tools and people",
             ("/stock", "/shelf", "/drivers", "/receivers", "/instruments", "/chargers", "/suppliers", "/service",
              "/lend", "/loans", "/attachments")),
    RoomLink("Bench", "/bench", "physics on paper before cutting", ("/bench", "/hulls/#/states/#/balance")),
)  # fmt: skip


def room_of(path: str) -> RoomLink:
    """The room in which the page at `path` lies: that of its longest known beginning; Home for all that has none."""
    parts = path.strip("/").split("/")
    best, length = HOME, 0
    for room in (*BAR, FIND):
        for beginning in room.beginnings:
            shape = beginning.strip("/").split("/")
            if len(shape) > length and _begins(parts, shape):
                best, length = room, len(shape)
    return best


def _begins(parts: list[str], shape: list[str]) -> bool:
    return len(parts) >= len(shape) and all(
        one == part or (one == "#" and part.isdigit()) for part, one in zip(parts, shape, strict=False)
    )
