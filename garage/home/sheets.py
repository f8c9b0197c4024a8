"""What Home shows."""

from dataclasses import dataclass

from garage.findings.changed import ChangedFinding
from garage.home.pack_attention import PackAttention
from garage.home.store import MOST_COUNTED, Begun
from garage.home.wants import COULD_BE_DONE, DANGER, MAY_BE_LOST, WAITS, Want, Wants, in_order
from garage.measures import Measure
from garage.moments import Moment
from garage.records.broken_records import BrokenRecord
from garage.runs.against_store import Against
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
    """A run whose speed was taken from a log that contradicts itself, named once; `words` are what it says."""

    run: RunLine
    log_id: int
    receiver: Measure
    places: Measure
    words: str


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
class Told:
    """A run with what its speed may be told against."""

    run: RunLine
    against: Against | None


@dataclass(frozen=True)
class HomeSheet:
    """What wants attention, the last outing, and the two things people open the notebook for; `latest` is the last run
    that has a speed, `best_of_month` the fastest of each boat."""

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
    latest: Told | None
    best_of_month: list[Told]
    values: dict[str, str]

    @property
    def wants(self) -> Wants:
        """What wants attention, the most pressing first."""
        return in_order(
            [
                *(_pack_want(pack) for pack in self.packs),
                *([Want(MAY_BE_LOST, "Backups and the clock", self.backups, "", "")] if self.backups else []),
                *(_denied_want(one) for one in self.denied),
                *(_waiting_want(one) for one in self.waiting),
                *(_changed_want(one) for one in self.changed),
                *(
                    Want(WAITS, one.hull, one.text, f"/hulls/{one.hull_id}/service/new", "write the service")
                    for one in self.service
                ),
                *([_unsorted_want(self.unsorted)] if self.unsorted else []),
                *(
                    Want(COULD_BE_DONE, one.name, f"low on the shelf{', ' + one.retire if one.retire else ''}",
                         one.address, "to the shelf")
                    for one in self.low
                ),
                *([Want(COULD_BE_DONE, "The shelf", "more is low", "/stock", "to the shelf")] if self.low_more else []),
            ]
        )  # fmt: skip

    @property
    def calm(self) -> bool:
        """Whether nothing wants attention."""
        first = (self.backups, self.denied, self.changed, self.packs)
        return not any((*first, self.service, self.waiting, self.unsorted, self.low))


def _pack_want(pack: PackAttention) -> Want:
    rank = DANGER if pack.grave else COULD_BE_DONE
    return Want(rank, f"Pack {pack.text}", ", ".join(pack.reasons), f"/packs/{pack.id}", "look at it")


def _denied_want(one: DeniedLine) -> Want:
    about = f"{one.run.hull}, run {one.run.number} of {one.run.started.day()}"
    text = f"its speed is from a log that contradicts itself: {one.words}; no record counts it until another is written"
    seen, log = f"/home/denied/{one.run.id}/noticed", (f"/logs/{one.log_id}", "the log")
    return Want(WAITS, about, text, f"/runs/{one.run.id}", "the run", seen, (log,))


def _waiting_want(one: WaitingLine) -> Want:
    runs = "1 run waits" if one.runs == 1 else f"{one.runs} runs wait"
    return Want(
        WAITS, f"{one.at.day()}, {one.water}", f"{runs} for details", f"/outings/{one.outing_id}/evening", "fill in"
    )


def _changed_want(one: ChangedFinding) -> Want:
    retire = f"; {one.retire}" if one.retire else ""
    text = f"{one.title}: now {one.verdict}, was {one.before}{retire}"
    return Want(WAITS, one.hull, text, f"/findings/{one.id}", "the finding", f"/findings/{one.id}/noticed")


def _unsorted_want(count: int) -> Want:
    notes = "1 note" if count == 1 else f"{'99 or more' if count >= MOST_COUNTED else count} notes"
    return Want(COULD_BE_DONE, notes, "from the water to sort", "/attachments/unsorted", "sort")


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
