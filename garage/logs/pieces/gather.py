"""Gathers the page of one piece of a log: charts, measures, passes, corners, slip and load."""

from __future__ import annotations

from collections.abc import Mapping

from sqlmodel import Session

from garage.calc.arrays import np
from garage.calc.track.means import Best
from garage.calc.track.measure import Looked, Measures
from garage.calc.track.passes import TwoWay
from garage.calc.track.track import Track
from garage.errors import NotFound
from garage.logs import sheets, store
from garage.logs.cutting import look_at_part
from garage.logs.gather import piece_lines
from garage.logs.pieces import drawings
from garage.logs.pieces import sheets as piece_sheets
from garage.logs.pieces.drive_rows import drive_rows
from garage.logs.pieces.offers import offered
from garage.logs.pieces.plan_drawing import plan
from garage.logs.pieces.slice_rows import slice_rows
from garage.logs.tables import LogFile, LogPiece
from garage.logs.track_json import track_json
from garage.measures import Measure
from garage.runs.lines.speed_words import known_words
from garage.runs.store import run
from garage.units import DisplayUnits

_KMH = 3.6
MOST_STRUCK = 40
_SHORTEST_WINDOW_S = 1.0


def piece_by_number(session: Session, log_id: int, number: int) -> tuple[LogFile, LogPiece]:
    """A piece and its log. Raises NotFound."""
    row = store.log(session, log_id)
    found = next((one for one in store.pieces_of(session, log_id) if one.number == number), None)
    if found is None:
        raise NotFound("There is no such piece of that log.")
    return row, found


def looked_at(session: Session, row: LogFile, piece: LogPiece) -> Looked:
    """The samples of a piece, cleaned and measured."""
    return look_at_part(
        row, store.track_of(session, row), store.restored_of(session, row.id), piece.start_s, piece.end_s
    )


def trace_sheet(
    session: Session, log_id: int, number: int, query: Mapping[str, str], units: DisplayUnits
) -> piece_sheets.TraceSheet:
    """The charts of a piece over the span that was asked for. Raises NotFound."""
    row, piece = piece_by_number(session, log_id, number)
    return _trace(looked_at(session, row, piece), row, piece, query, units)


def piece_sheet(
    session: Session, log_id: int, number: int, query: Mapping[str, str], units: DisplayUnits
) -> piece_sheets.PieceSheet:
    """The whole page of a piece. Raises NotFound."""
    row, piece = piece_by_number(session, log_id, number)
    track, brought_back = store.track_of(session, row), store.restored_of(session, log_id)
    looked = look_at_part(row, track, brought_back, piece.start_s, piece.end_s)
    measures, made = looked.measures, run(session, piece.run_id) if piece.run_id is not None else None
    found = track_json(measures)
    line = piece_lines(session, [(piece, row)])[0]
    drive, drive_words = drive_rows(session, looked, made)
    return piece_sheets.PieceSheet(
        line=line,
        at=f"/logs/{log_id}/pieces/{number}",
        source=sheets.SOURCE_WORDS[measures.source],
        trace=_trace(looked, row, piece, query, units),
        speeds=_speeds(looked),
        facts=_facts(looked),
        drive=drive,
        drive_words=drive_words,
        passes=piece_sheets.pass_rows(found["passes"], row.course_m),
        corners=piece_sheets.corner_rows(found["corners"]),
        said=measures.said,
        rejected=sorted(measures.rejected.items()),
        struck=_struck(track, piece, looked),
        restored=piece_sheets.restored_rows(brought_back),
        offers=_offers(looked, row, piece),
        run_speed=known_words(made, units) if made else "",
        values={},
    )


def _trace(
    looked: Looked, row: LogFile, piece: LogPiece, query: Mapping[str, str], units: DisplayUnits
) -> piece_sheets.TraceSheet:
    window = _window(piece, query)
    return piece_sheets.TraceSheet(
        at=f"/logs/{row.id}/pieces/{piece.number}",
        start_s=window.start_s,
        end_s=window.end_s,
        whole_start_s=piece.start_s,
        whole_end_s=piece.end_s,
        further=_further(piece, window),
        speed=drawings.speed_trace(looked, window, _bands(looked), units),
        plan=plan(looked, window, units),
        channels=drawings.channel_traces(looked, window, units),
        slices=slice_rows(looked, window),
    )


def _window(piece: LogPiece, query: Mapping[str, str]) -> drawings.Window:
    start, end = (_seconds(query.get(name, "")) for name in ("from", "to"))
    start = piece.start_s if start is None else min(max(start, piece.start_s), piece.end_s)
    end = piece.end_s if end is None else min(max(end, piece.start_s), piece.end_s)
    if end - start < _SHORTEST_WINDOW_S:
        middle = (start + end) / 2
        start = max(piece.start_s, middle - _SHORTEST_WINDOW_S / 2)
        end = max(min(piece.end_s, start + _SHORTEST_WINDOW_S), start + 1e-3)
    return drawings.Window(start, end)


def _seconds(text: str) -> float | None:
    try:
        value = float(text) if len(text) < 20 else float("nan")
    except ValueError:
        return None
    return value if abs(value) < 1e9 else None


def _further(piece: LogPiece, window: drawings.Window) -> list[tuple[str, str]]:
    """Where to look next: words, and what stands behind the question mark."""
    span = window.end_s - window.start_s
    middle = (window.start_s + window.end_s) / 2
    choices = [("Closer", middle - span / 4, middle + span / 4)]
    if span < piece.end_s - piece.start_s - 1e-3:
        choices += [
            ("Further", middle - span, middle + span),
            ("Earlier", window.start_s - span / 2, window.end_s - span / 2),
            ("Later", window.start_s + span / 2, window.end_s + span / 2),
            ("All of it", piece.start_s, piece.end_s),
        ]
    return [(words, f"from={start:.2f}&to={end:.2f}") for words, start, end in choices]


def _bands(looked: Looked) -> list[drawings.Band]:
    top = looked.measures.top
    if top is None:
        return []
    return [drawings.Band(top.start_s, top.end_s, "the fastest two seconds")]


def _mean(best: Best | None, found: Measures, how: str = "") -> Measure:
    if best is None:
        return Measure(None, "speed")
    how = how or (f"mean of {best.of_samples} samples in a row" if best.of_samples else "way over time")
    within = f"within {best.accuracy_ms * _KMH:.1f} km/h"
    return Measure(best.speed_ms * _KMH, "speed", f"{how}, {sheets.SOURCE_WORDS[found.source]}, {within}")


def _speeds(looked: Looked) -> list[tuple[str, Measure]]:
    """Both ways over the course first: wind and current are out of it; then what one way says."""
    found = looked.measures
    return [
        *(_two_way(found.two_way) if found.two_way else []),
        ("Mean over two seconds", _mean(found.top, found)),
        (f"One way over {found.course_m:g} m", _mean(found.best_course, found, "course over time")),
    ]


def _two_way(both: TwoWay) -> list[tuple[str, Measure]]:
    within = f"within {both.accuracy_ms * _KMH:.1f} km/h"
    of_speeds = f"two opposite passes over {both.course_m:g} m, {both.apart_s:.0f} s apart, {within}"
    of_times = f"both lengths over both times; never more than the mean of speeds; {within}"
    return [
        ("Both ways, mean of speeds", Measure(both.speed_ms * _KMH, "speed", of_speeds)),
        ("Both ways, mean of times", Measure(both.by_times_ms * _KMH, "speed", of_times)),
    ]


def _peak(best: Best, source: str, contradicted: bool) -> Measure:
    how = f"{source}, one sample" + ("" if contradicted else f" within {best.accuracy_ms * _KMH:.1f} km/h")
    caution = sheets.peak_caution(contradicted, "reads high: the largest of many, about 1 km/h at 10 Hz")
    return Measure(best.speed_ms * _KMH, "speed", how, caution)


def _facts(looked: Looked) -> list[tuple[str, Measure]]:
    found = looked.measures
    far = found.distance_within_m
    by_place = found.distance_from == "position"
    how = "places on the WGS 84 ellipsoid" if by_place else "the receiver's own speed over time"
    planing = f"time above 15 km/h, common practice, no source; within {found.planing_within_s:.2g} s"
    source, peak = sheets.SOURCE_WORDS[found.source], found.peak
    single = [("A single reading", _peak(peak, source, found.agreement.is_disputed))] if peak else []
    return [
        ("Distance", Measure(round(found.distance_m, 1 if far < 1 else 0), "distance", f"{how}, within {far:.2g} m")),
        ("Time", Measure(found.duration_s, "duration", "first to last sample")),
        ("Planing", Measure(found.planing_s, "duration", planing)),
        ("Mean over one second", _mean(found.best_1s, found)),
        *single,
    ]


def _struck(track: Track, piece: LogPiece, looked: Looked) -> list[piece_sheets.StruckRow]:
    time = track.time_s
    with np.errstate(invalid="ignore"):
        inside = np.flatnonzero((time >= piece.start_s) & (time <= piece.end_s))
    return piece_sheets.struck_rows(
        looked.cleaned.reasons.tolist(), inside.tolist(), looked.track.time_s.tolist(), MOST_STRUCK
    )


def _offers(looked: Looked, row: LogFile, piece: LogPiece) -> list[piece_sheets.Offer]:
    """Speeds that can be written as the run's, the best known first."""
    if piece.run_id is None:
        return []
    return [
        piece_sheets.Offer(which, Measure(found["speed_kmh"], "speed"), found["words"])
        for which, found in offered(looked, row.course_m).items()
    ]
