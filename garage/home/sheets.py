"""What Home shows."""

from dataclasses import dataclass

from garage.findings.changed import ChangedFinding
from garage.home.pack_attention import PackAttention
from garage.home.store import Begun
from garage.measures import Measure
from garage.moments import Moment
from garage.records.broken_records import BrokenRecord
from garage.runs.lines.line import RunLine
from garage.web.rooms_bar import BAR, FIND


@dataclass(frozen=True)
class FirstMove:
    """One of the first moves in an empty garage."""

    text: str
    why: str
    address: str
    done: bool


@dataclass(frozen=True)
class Work:
    """A modification under way, with its next step."""

    id: int
    title: str
    hull: str
    steps: str
    next_step: str


@dataclass(frozen=True)
class HullChoice:
    """A hull to write something about."""

    id: int
    name: str


@dataclass(frozen=True)
class ServiceLine:
    """A service that is due on a hull."""

    hull_id: int
    hull: str
    text: str


@dataclass(frozen=True)
class WaitingLine:
    """An outing some of whose runs wait for details."""

    outing_id: int
    at: Moment
    water: str
    runs: int


@dataclass(frozen=True)
class LowLine:
    """Something low on the shelf."""

    name: str
    address: str
    retire: str = ""


@dataclass(frozen=True)
class TryNextLine:
    """A line to try next, from one of the latest outings."""

    run_id: int
    hull: str
    text: str
    at: Moment


@dataclass(frozen=True)
class DeniedLine:
    """A run whose speed was taken from a log that contradicts itself, named once."""

    run: RunLine
    log_id: int
    receiver: Measure
    places: Measure


@dataclass(frozen=True)
class LastOuting:
    """The last day on the water. `more` if not all of its runs are here."""

    id: int
    at: Moment
    water: str
    conditions: str
    is_open: bool
    runs: list[RunLine]
    more: bool


@dataclass(frozen=True)
class HomeSheet:
    """What wants attention, the last outing, and the two things people open the notebook for."""

    first_moves: list[FirstMove]
    work: list[Work]
    hulls: list[HullChoice]
    packs: list[PackAttention]
    service: list[ServiceLine]
    changed: list[ChangedFinding]
    denied: list[DeniedLine]
    waiting: list[WaitingLine]
    unsorted: int
    low: list[LowLine]
    low_more: bool
    last: LastOuting | None
    fallen: list[BrokenRecord]
    try_next: list[TryNextLine]
    backups: str
    values: dict[str, str]

    @property
    def calm(self) -> bool:
        """Whether nothing wants attention."""
        first = (self.backups, self.denied, self.changed, self.packs)
        return not any((*first, self.service, self.waiting, self.unsorted, self.low))


def first_moves(begun: Begun) -> list[FirstMove]:
    """The first three moves, as long as no run is written down."""
    if begun.runs:
        return []
    return [
        FirstMove("Write down the hull on your bench", "Name and kind are enough.", "/hulls/new", begun.hulls),
        FirstMove(
            "Add a prop",
            "Each physical prop is its own item: two of one size differ.",
            "/props/new",
            begun.props,
        ),
        FirstMove(
            "Add a pack",
            "From then on it knows its charges and whether it is broken in.",
            "/packs/new",
            begun.packs,
        ),
        FirstMove("Write the first run", "It takes the rest from what stands here.", "/runs/new", False),
    ]


@dataclass(frozen=True)
class RoomLine:
    """One room of the notebook, or a page that stands in none."""

    name: str
    address: str
    about: str


@dataclass(frozen=True)
class RoomsSheet:
    """Every room, and what there is beside them."""

    rooms: list[RoomLine]
    beside: list[RoomLine]


_BESIDE = (
    RoomLine("Waters", "/waters", "where the boats run, with their courses and rules"),
    RoomLine("Units and preferences", "/preferences", "what you read figures in"),
    RoomLine("Phones", "/access", "let a phone in on the home network"),
    RoomLine("Import past runs", "/import", "from a spreadsheet"),
    RoomLine("Bin", "/bin", "what was set aside, with a way back"),
    RoomLine("The data", "/data", "every page as JSON or CSV"),
)


def rooms_sheet() -> RoomsSheet:
    """The way to everything."""
    return RoomsSheet([RoomLine(one.name, one.address, one.about) for one in (*BAR, FIND)], list(_BESIDE))
