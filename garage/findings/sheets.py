"""What the pages of findings show."""

from dataclasses import dataclass, field

from markupsafe import Markup

from garage.moments import Moment
from garage.runs.lines.line import RunLine


@dataclass(frozen=True)
class PartRow:
    """One part of what was seen, in the unit of the page and in points (log x 100)."""

    cause: str
    amount: float
    points: float


@dataclass(frozen=True)
class EffectFigures:
    """An effect in percent, the ends between which the truth lies nine times in ten, and the chance of a gain."""

    percent: float
    low: float
    high: float
    amount: float
    chance: float


@dataclass(frozen=True)
class SpokenRun:
    """A run that speaks; `weight` is how many points the answer moves per point of this run.

    `value` is the outcome in the unit of the page, `known` how it is known.
    """

    line: RunLine
    value: float
    known: str
    weight: float
    residual_points: float
    is_far_off: bool
    is_open: bool


@dataclass(frozen=True)
class SilentRun:
    """A run left out, with the reason."""

    line: RunLine
    why: str
    can_return: bool


@dataclass(frozen=True)
class CauseRow:
    """An own field that may be ticked as a cause: of what, by how much one step of it may change the outcome, how that
    is known, and, where it is ticked, how many runs have no value in it."""

    number: int
    label: str
    thing: str
    prior_percent: float
    prior_from: str
    step: str
    lacking: int | None
    put_away: bool


@dataclass(frozen=True)
class DecisionRow:
    """A decision with the numbers as they stood."""

    id: int
    at: Moment
    kind: str
    reason: str
    verdict: str
    numbers: str
    runs: list[int]


@dataclass(frozen=True)
class ResultRow:
    """The answer as it stood when an outing was closed."""

    at: Moment
    outing_id: int
    verdict: str
    confirmed: bool
    percent: float
    low: float
    high: float
    runs: int


@dataclass(frozen=True)
class TangleRow:
    """A cause that the answer is tangled with, and its share of what is not known; `brief` leaves out what moved
    exactly or nearly alike."""

    cause: str
    share: float
    sentence: str
    brief: str


@dataclass(frozen=True)
class PlannedRow:
    """A planned run, and whether it was made; `run_id` is the run written since that is what was planned."""

    id: int
    words: str
    ticked: bool
    run_id: int | None


@dataclass(frozen=True)
class AnswerSheet:
    """One question with its answer. Without an answer, `why` says what is missing."""

    id: int
    hull_id: int
    hull: str
    title: str
    about: str
    retire: str
    thing_url: str
    outcome: str
    outcome_title: str
    outcomes: list[tuple[str, str]]
    unit: str
    why: str
    lede: str
    verdict: str
    reason: str
    headline: str
    effect: EffectFigures | None
    wide: EffectFigures | None
    sentences: list[str]
    seen: float
    parts: list[PartRow]
    tangled: list[TangleRow]
    aliased: list[str]
    in_time: str
    next_words: list[str]
    next_lines: list[str]
    open_width: str
    notes: list[str]
    spoken: list[SpokenRun]
    silent: list[SilentRun]
    decisions: list[DecisionRow]
    results: list[ResultRow]
    planned: list[PlannedRow]
    is_cut: bool
    sigma_percent: float
    tau_percent: float
    causes: list[CauseRow]
    values: dict[str, str | list[str]]
    drawing: Markup = field(default=Markup(""), repr=False)


@dataclass(frozen=True)
class FindingRow:
    """One question in the list, with its last stored answer."""

    id: int
    hull: str
    about: str
    title: str
    verdict: str
    percent: float | None
    low: float | None
    high: float | None
    judged: Moment | None
    decision: str
    retire: str = ""


@dataclass(frozen=True)
class FindingListSheet:
    """Questions asked, and the hulls to ask about."""

    rows: list[FindingRow]
    hulls: list[tuple[int, str]]
    page: int
    more: bool


@dataclass(frozen=True)
class EffectRow:
    """One effect on a hull: what it is about, and what is known; `retire` what speaks for retiring a pack."""

    about: str
    subject: str
    name: str
    percent: float
    low: float
    high: float
    chance: float
    verdict: str
    reason: str
    tied_with: str
    tied: list[str]
    retire: str


@dataclass(frozen=True)
class HullEffectsSheet:
    """Everything that moves one hull's speed, ranked."""

    hull_id: int
    hull: str
    runs: int
    why: str
    rows: list[EffectRow]
    states: list[tuple[str, str]]
    decisions: list[tuple[str, DecisionRow]]
    values: dict[str, str]
    drawing: Markup = field(default=Markup(""), repr=False)


@dataclass(frozen=True)
class PriorRow:
    """One assumption: what it means, and what the program assumes by itself."""

    name: str
    meaning: str
    mean: float
    sd: float
    usual: str


@dataclass(frozen=True)
class PriorsSheet:
    """The assumptions of the model, changeable in one place."""

    rows: list[PriorRow]
    values: dict[str, str]


@dataclass(frozen=True)
class PlanSheet:
    """Planning the day for a question. `sides` and `packs` are what there is, each with whether it is kept to."""

    id: int
    hull_id: int
    hull: str
    title: str
    why: str
    count: int
    counts: tuple[int, ...]
    sides: list[tuple[str, str, bool]]
    packs: list[tuple[str, str, bool]]
    once: bool
    words: list[str]
    lines: list[str]
    minutes: float
    kept: list[PlannedRow]
    kept_widths: str
    open_width: str
    open_outing: int | None
    values: dict[str, str]


@dataclass(frozen=True)
class DecideSheet:
    """Deciding about something."""

    id: int
    hull: str
    title: str
    verdict: str
    numbers: str
    values: dict[str, str]
    retire: str = ""
