"""What Home shows."""

from dataclasses import dataclass, field

from markupsafe import Markup

from garage.calc.effect.verdict import verdict_said
from garage.findings.changed import ChangedFinding, OpenQuestion
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
    """An outing that is still open, or some of whose runs wait for details; `age` says for how long."""

    outing_id: int
    at: Moment
    water: str
    runs: int
    is_open: bool
    age: str = ""


@dataclass(frozen=True)
class PastOpen:
    """How many outings of past days are still open, and since when the oldest is."""

    count: int
    age: str
    oldest: Moment


@dataclass(frozen=True)
class AskedSpeedLine:
    """A run in which something happened, and nobody said whether its speed counts."""

    run_id: int
    about: str
    kind: str
    age: str


@dataclass(frozen=True)
class UndecidedLine:
    """A question that its last answer settles, and that nobody decided; `age` of that answer."""

    id: int
    hull: str
    title: str
    verdict: str
    age: str


@dataclass(frozen=True)
class LowLine:
    """Something low on the shelf."""

    name: str
    address: str
    retire: str = ""


@dataclass(frozen=True)
class LentLine:
    """Something that should be back by now, and who has it."""

    name: str
    address: str
    words: str


@dataclass(frozen=True)
class LogLine:
    """A log that cannot be read until somebody says which of its columns is what."""

    id: int
    name: str


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
    """The last run that has a speed (`latest`), what comes next, the fastest of each boat in `best_of_month`, questions
    that are open, what wants attention, and the last outing."""

    first_moves: list[FirstMove]
    work: list[Work]
    hulls: list[HullChoice]
    packs: list[PackAttention]
    service: list[ServiceLine]
    changed: list[ChangedFinding]
    questions: list[OpenQuestion]
    denied: list[DeniedLine]
    waiting: list[WaitingLine]
    past_open: PastOpen | None
    undecided: list[UndecidedLine]
    asked_speeds: list[AskedSpeedLine]
    logs: list[LogLine]
    unsorted: int
    low: list[LowLine]
    low_more: bool
    lent: list[LentLine]
    last: LastOuting | None
    fallen: list[BrokenRecord]
    try_next: list[TryNextLine]
    backups: str
    latest: Told | None
    best_of_month: list[Told]
    values: dict[str, str]
    bars: list[Markup] = field(default_factory=list, repr=False)

    @property
    def next_move(self) -> FirstMove | None:
        """The first of the first moves that is still to be made; None once a run is written."""
        return next((move for move in self.first_moves if not move.done), None)

    @property
    def wants(self) -> Wants:
        """What wants attention, the most pressing first."""
        return in_order(
            [
                *(_pack_want(pack) for pack in self.packs),
                *([Want(MAY_BE_LOST, "Backups and the clock", self.backups, "", "")] if self.backups else []),
                *(_denied_want(one) for one in self.denied),
                *(_asked_speed_want(one) for one in self.asked_speeds),
                *(_changed_want(one) for one in self.changed),
                *([_past_open_want(self.past_open)] if self.past_open and self.past_open.count > 1 else []),
                *(_waiting_want(one) for one in self.waiting),
                *(
                    Want(WAITS, one.name, "its columns have no names yet", f"/logs/{one.id}/columns", "name them")
                    for one in self.logs
                ),
                *(_service_want(one) for one in self.service),
                *(Want(WAITS, one.name, one.words, one.address, "look at it") for one in self.lent),
                *(_undecided_want(one) for one in self.undecided),
                *(_work_want(one) for one in self.work),
                *([_unsorted_want(self.unsorted)] if self.unsorted else []),
                *(_low_want(one) for one in self.low),
                *([Want(COULD_BE_DONE, "The shelf", "more is low", "/stock", "to the shelf")] if self.low_more else []),
            ]
        )


def _pack_want(pack: PackAttention) -> Want:
    rank = DANGER if pack.grave else WAITS if pack.waits else COULD_BE_DONE
    return Want(rank, f"Pack {pack.text}", ", ".join(pack.reasons), f"/packs/{pack.id}", "look at it")


def _service_want(one: ServiceLine) -> Want:
    return Want(WAITS, one.hull, one.text, f"/hulls/{one.hull_id}/service/new", "write the service")


def _work_want(one: Work) -> Want:
    following = f"; next: {one.next_step}" if one.next_step else ""
    return Want(
        COULD_BE_DONE, f"{one.title}, {one.hull}", f"{one.steps}{following}", f"/modifications/{one.id}", "go on"
    )


def _low_want(one: LowLine) -> Want:
    retire = f", {one.retire}" if one.retire else ""
    return Want(COULD_BE_DONE, one.name, f"low on the shelf{retire}", one.address, "to the shelf")


def _denied_want(one: DeniedLine) -> Want:
    about = f"{one.run.hull}, run {one.run.number} of {one.run.started.day()}"
    text = f"its speed is from a log that contradicts itself: {one.words}; no record counts it until another is written"
    seen, log = f"/home/denied/{one.run.id}/noticed", (f"/logs/{one.log_id}", "the log")
    return Want(WAITS, about, text, f"/runs/{one.run.id}", "the run", seen, (log,))


def _waiting_want(one: WaitingLine) -> Want:
    runs = "1 run waits" if one.runs == 1 else f"{one.runs} runs wait"
    said = [*(["still open"] if one.is_open else []), *([f"{runs} for details"] if one.runs else []), one.age]
    address = f"/outings/{one.outing_id}/evening" if one.runs else f"/outings/{one.outing_id}"
    close = (f"/outings/{one.outing_id}/close", "close it") if one.is_open else None
    about, text = f"{one.at.day()}, {one.water}", ", ".join(filter(None, said))
    return Want(WAITS, about, text, address, "fill in" if one.runs else "look at it", button=close)


def _past_open_want(one: PastOpen) -> Want:
    about = f"{'99 or more' if one.count >= MOST_COUNTED else one.count} outings of past days"
    text = f"still open, the oldest {one.age}; findings are judged when an outing is closed"
    return Want(WAITS, about, text, "/outings/open", "close them")


def _asked_speed_want(one: AskedSpeedLine) -> Want:
    text = f"{one.kind} in it, {one.age}; nobody said whether its speed counts"
    return Want(WAITS, one.about, text, f"/runs/{one.run_id}", "answer")


def _undecided_want(one: UndecidedLine) -> Want:
    text = f"{one.title}: {verdict_said(one.verdict)}, {one.age}; nobody said what is done about it"
    return Want(COULD_BE_DONE, one.hull, text, f"/findings/{one.id}", "decide")


def _changed_want(one: ChangedFinding) -> Want:
    retire = f"; {one.retire}" if one.retire else ""
    text = f"{one.title}: {verdict_said(one.verdict)}; it was: {verdict_said(one.before)}{retire}"
    return Want(WAITS, one.hull, text, f"/findings/{one.id}", "the finding", f"/findings/{one.id}/noticed")


def _unsorted_want(count: int) -> Want:
    notes = "1 note" if count == 1 else f"{'99 or more' if count >= MOST_COUNTED else count} notes"
    return Want(COULD_BE_DONE, notes, "from the water to sort", "/attachments/unsorted", "sort")


def first_moves(begun: Begun) -> list[FirstMove]:
    """The first three moves, as long as no run is written down."""
    if begun.runs:
        return []
    return [
        FirstMove("Write a boat", "Name and kind are enough.", "/hulls/new", begun.hulls),
        FirstMove(
            "Write a prop",
            "Each one by itself: two of one size differ.",
            "/props/new",
            begun.props,
        ),
        FirstMove(
            "Write a pack",
            "Cells and capacity; its charges and its break-in are counted from then on.",
            "/packs/new",
            begun.packs,
        ),
        FirstMove("Write a run", "Speed, pack, a word.", "/runs/new", False),
    ]


@dataclass(frozen=True)
class WantsSheet:
    """Everything that wants attention, the most pressing first."""

    rows: list[Want]


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
