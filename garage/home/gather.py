"""Home put together from all the rooms below."""

from collections.abc import Mapping

from sqlmodel import Session

from garage.db.kept_backups import Ahead
from garage.findings.changed import finding_news
from garage.home import sheets, store
from garage.home.bars import interval_bars
from garage.home.pack_attention import attention, first_few
from garage.hulls.store import hulls, hulls_by_ids
from garage.hulls.tables import Hull
from garage.measures import Measure
from garage.modifications.store import work_under_way
from garage.modifications.tables import Modification
from garage.moments import Moment, age_words
from garage.preferences.store import not_measured
from garage.records.broken_records import broken_records
from garage.records.conditions import condition_words
from garage.runs.against_store import Against, against_of
from garage.runs.denied_store import news
from garage.runs.lines.line import RunLine, line_of
from garage.runs.lines.store import line_facts
from garage.runs.service_due import due_of
from garage.runs.tables import DeniedSpeed, Run
from garage.things import Thing, Things
from garage.units import DisplayUnits, show
from garage.waters.tables import Outing, Water

MOST_LINES = 6
# So many of each kind on the page of all that is wanted.
MOST_WANTS = 15
_MOST_QUESTIONS = 3
# Counting since each service is the dearest part of the page.
_MOST_HULLS_SERVED = 4
_MOST_RUNS_SHOWN = 12


def home_sheet(
    session: Session, things: Things, now: Moment, units: DisplayUnits, ahead: Ahead | None, most: int = MOST_LINES
) -> sheets.HomeSheet:
    """What stands on Home at `now`, with the backups that are dated later than that; `most` lines of each kind."""
    outings = store.recent_outings(session)
    runs = store.runs_of(session, [outing.id for outing, _ in outings])
    under_way = work_under_way(session, limit=most)
    boats = hulls_by_ids(session, {run.hull_id for run in runs} | {row.hull_id for row in under_way})
    names = {hull_id: hull.name for hull_id, hull in boats.items()}
    begun = store.begun(session, most)
    shelf = store.shelf_wants(session, things, now.date(), most)
    low_packs = [one.id for one in shelf.low if one.owner == "pack"]
    are_read = begun.readings and "resistance" not in not_measured(session)
    packs = store.packs_in_hand(session, [run.id for run in runs], low_packs, now.utc, are_read)
    denied, newest = news(session, most), next((run for run in runs if run.speed_kmh), None)
    of_month = _of_month(runs, outings)
    of_day = [run for run in runs if outings and run.outing_id == outings[0][0].id][::-1]
    against = against_of(session, {run.id for run in (*of_month, *of_day, *([newest] if newest else []))})
    best = _fastest([run for run in of_month if run.id in against])[:MOST_LINES]
    # One reading serves the last outing, the best of the month and the runs with a denied speed.
    shown = of_day[:_MOST_RUNS_SHOWN]
    told = {run.id: run for run in (*shown, *([newest] if newest else []), *best, *(run for _, run in denied))}
    facts = line_facts(session, list({run.id: run for run in (*told.values(), *of_day)}.values()), packs.retire)
    lines = {run_id: line_of(run, facts) for run_id, run in told.items()}
    findings = finding_news(session, changes=most, questions=_MOST_QUESTIONS, undecided=most)
    return sheets.HomeSheet(
        first_moves=sheets.first_moves(begun),
        work=_work(session, under_way, names),
        hulls=_hulls(session, runs, names),
        packs=first_few(attention(packs.facts), most),
        service=_service(session, runs, boats, now),
        changed=findings.changed,
        questions=findings.open,
        bars=interval_bars(findings.open),
        denied=_denied(denied, lines, units),
        waiting=_waiting(begun.open_outings, store.waiting(session, most), now, most),
        past_open=_past_open(begun.open_outings, now),
        undecided=[
            sheets.UndecidedLine(one.id, one.hull, one.title, one.verdict, age_words(one.judged, now))
            for one in findings.undecided
        ],
        asked_speeds=[
            sheets.AskedSpeedLine(
                one.run_id, f"{one.hull}, run {one.number} of {one.at.day()}", one.kind, age_words(one.at, now)
            )
            for one in begun.asked_speeds
        ],
        logs=[sheets.LogLine(*one) for one in begun.logs],
        unsorted=begun.unsorted,
        low=[_low_line(one, packs.retire) for one in shelf.low],
        low_more=shelf.low_more,
        lent=[sheets.LentLine(one.name, one.url, words) for one, words in shelf.lent],
        last=_last_outing(outings, [lines[run.id] for run in shown], len(of_day) > len(shown), units),
        fallen=broken_records(session, of_day, facts, units) if _may_be_records(of_day, against) else [],
        try_next=_try_next(runs, names),
        backups=ahead.words if ahead else "",
        latest=sheets.Told(lines[newest.id], against.get(newest.id)) if newest else None,
        best_of_month=[sheets.Told(lines[run.id], against[run.id]) for run in best],
        values={},
    )


def _may_be_records(runs: list[Run], told: Mapping[int, Against]) -> bool:
    """Whether one of these runs is not slower than all others that it may be told against: only then can it be a
    record, which takes two more questions to know."""
    return any(run.id in told and (told[run.id].over_best.value or 0) >= 0 for run in runs)


def _waiting(
    still_open: list[store.OpenOuting], waiting: list[tuple[int, str, int, str, int]], now: Moment, most: int
) -> list[sheets.WaitingLine]:
    """The outings that somebody has still to close, the oldest first, and then those to fill in; each with its age."""
    open_lines = [
        sheets.WaitingLine(one.id, one.at, one.water, one.waiting, True, age_words(one.at, now))
        for one in still_open[:most]
    ]
    known = {one.id for one in still_open}
    closed = [
        sheets.WaitingLine(outing_id, began, water, count, False, age_words(began, now))
        for outing_id, utc, offset, water, count in waiting
        if outing_id not in known and (began := Moment(utc, offset))
    ]
    return [*open_lines, *closed]


def _past_open(still_open: list[store.OpenOuting], now: Moment) -> sheets.PastOpen | None:
    """The outings of past days among those that are open."""
    past = [one for one in still_open if one.at.date() < now.date()]
    return sheets.PastOpen(len(past), age_words(past[0].at, now), past[0].at) if past else None


def _low_line(found: Thing, retire: Mapping[int, str]) -> sheets.LowLine:
    """Something low on the shelf, with the verdict on it if it is a pack."""
    return sheets.LowLine(found.name, found.url, retire.get(found.id, "") if found.owner == "pack" else "")


def _last_outing(
    outings: list[tuple[Outing, Water]], lines: list[RunLine], has_more: bool, units: DisplayUnits
) -> sheets.LastOuting | None:
    if not outings:
        return None
    day, water = outings[0]
    return sheets.LastOuting(
        day.id,
        Moment(day.started_at, day.offset_min),
        water.name,
        condition_words(day, units),
        day.closed_at is None,
        lines,
        has_more,
    )


def _of_month(runs: list[Run], outings: list[tuple[Outing, Water]]) -> list[Run]:
    """The runs of the month of the last outing, as far as the latest outings reach."""
    if not outings:
        return []
    month = _month(outings[0][0])
    return [run for run in runs if _month(run) == month]


def _month(row: Run | Outing) -> str:
    return Moment(row.started_at, row.offset_min).date()[:7]


def _fastest(runs: list[Run]) -> list[Run]:
    """The fastest of each boat, the fastest boat first."""
    best: dict[int, Run] = {}
    for run in sorted(runs, key=lambda run: run.speed_kmh or 0, reverse=True):
        best.setdefault(run.hull_id, run)
    return list(best.values())


def _work(session: Session, rows: list[Modification], names: Mapping[int, str]) -> list[sheets.Work]:
    steps = store.progress_of(session, [row.id for row in rows]) if rows else {}
    return [
        sheets.Work(
            row.id,
            row.title,
            names[row.hull_id],
            f"{steps[row.id].done} of {steps[row.id].count} steps done",
            steps[row.id].following,
        )
        for row in rows
    ]


def _hulls(session: Session, runs: list[Run], names: dict[int, str]) -> list[sheets.HullChoice]:
    """The hulls used last; in a garage without runs, some of those in use."""
    used = list(dict.fromkeys(run.hull_id for run in runs))[:MOST_LINES]
    if used:
        return [sheets.HullChoice(hull_id, names[hull_id]) for hull_id in used]
    return [sheets.HullChoice(hull.id, hull.name) for hull in hulls(session, limit=MOST_LINES)]


def _service(session: Session, runs: list[Run], boats: dict[int, Hull], now: Moment) -> list[sheets.ServiceLine]:
    """What is due on the hulls that ran last."""
    used = [boats[hull_id] for hull_id in dict.fromkeys(run.hull_id for run in runs)][:_MOST_HULLS_SERVED]
    return [
        sheets.ServiceLine(hull_id, boats[hull_id].name, one.text)
        for hull_id, found in due_of(session, used, now.utc).items()
        for one in found
        if one.due
    ]


def _denied(
    told: list[tuple[DeniedSpeed, Run]], lines: Mapping[int, RunLine], units: DisplayUnits
) -> list[sheets.DeniedLine]:
    """Runs with a speed that its log's places deny, of which nobody was told yet."""
    return [
        sheets.DeniedLine(
            lines[run.id],
            row.log_id,
            Measure(row.receiver_kmh, "speed", "the receiver, mean over two seconds"),
            Measure(row.places_kmh, "speed", "its places, for the same 2 s"),
            _denied_words(row, run, units),
        )
        for row, run in told
    ]


def _denied_words(row: DeniedSpeed, run: Run, units: DisplayUnits) -> str:
    unit = units.unit("speed")
    said = (
        ("{} is written", run.speed_kmh),
        ("the receiver says {}", row.receiver_kmh),
        ("its places {}", row.places_kmh),
    )
    return ", ".join(words.format(show(speed, "speed", unit)) for words, speed in said if speed is not None)


def _try_next(runs: list[Run], names: dict[int, str]) -> list[sheets.TryNextLine]:
    return [
        sheets.TryNextLine(run.id, names[run.hull_id], run.try_next, Moment(run.started_at, run.offset_min))
        for run in runs
        if run.try_next and run.try_next_done_at is None
    ][:MOST_LINES]
