"""Gathers the page of one piece of a log: charts, measures, passes, corners, slip and load."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sqlmodel import Session

from garage.calc.arrays import np
from garage.calc.track.drive import Slip, apparent_slip, load_of, mean_between, measured_slip, pack_resistance
from garage.calc.track.means import Best
from garage.calc.track.measure import Looked
from garage.errors import NotFound
from garage.logs import drawings, sheets, store
from garage.logs.command import track_json
from garage.logs.cutting import look_at_part
from garage.logs.drive_facts import drive_facts
from garage.logs.gather import piece_lines
from garage.logs.plan_drawing import plan
from garage.logs.slice_rows import slice_rows
from garage.logs.tables import LogFile, LogPiece
from garage.measures import Measure
from garage.runs.speed_words import known_words
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
    return look_at_part(session, row, store.track_of(session, row), piece.start_s, piece.end_s)


def trace_sheet(
    session: Session, log_id: int, number: int, query: Mapping[str, str], units: DisplayUnits
) -> sheets.TraceSheet:
    """The charts of a piece over the span that was asked for. Raises NotFound."""
    row, piece = piece_by_number(session, log_id, number)
    return _trace(looked_at(session, row, piece), row, piece, query, units)


def piece_sheet(
    session: Session, log_id: int, number: int, query: Mapping[str, str], units: DisplayUnits
) -> sheets.PieceSheet:
    """The whole page of a piece. Raises NotFound."""
    row, piece = piece_by_number(session, log_id, number)
    looked = looked_at(session, row, piece)
    measures = looked.measures
    found = track_json(measures)
    line = piece_lines(session, row, [piece])[0]
    drive, drive_words = _drive(session, looked, piece)
    return sheets.PieceSheet(
        line=line,
        at=f"/logs/{log_id}/pieces/{number}",
        source=sheets.SOURCE_WORDS[measures.source],
        trace=_trace(looked, row, piece, query, units),
        speeds=_speeds(looked),
        facts=_facts(looked),
        drive=drive,
        drive_words=drive_words,
        passes=sheets.pass_rows(found["passes"], row.course_m),
        corners=sheets.corner_rows(found["corners"]),
        said=measures.said,
        rejected=sorted(measures.rejected.items()),
        struck=_struck(session, row, piece, looked),
        restored=sheets.restored_rows(store.restored_of(session, log_id)),
        offers=_offers(looked, row, piece),
        run_speed=_run_speed(session, piece, units),
        values={},
    )


def _run_speed(session: Session, piece: LogPiece, units: DisplayUnits) -> str:
    if piece.run_id is None:
        return ""
    return known_words(run(session, piece.run_id), units)


def _trace(
    looked: Looked, row: LogFile, piece: LogPiece, query: Mapping[str, str], units: DisplayUnits
) -> sheets.TraceSheet:
    window = _window(piece, query)
    return sheets.TraceSheet(
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
    return [drawings.Band(top.start_s, top.end_s, "best 2 s")]


def _speeds(looked: Looked) -> list[tuple[str, Measure]]:
    found = looked.measures
    source = sheets.SOURCE_WORDS[found.source]

    def mean(best: Best | None, how: str) -> Measure:
        if best is None:
            return Measure(None, "speed")
        return Measure(best.speed_ms * _KMH, "speed", f"{how}, {source}, within {best.accuracy_ms * _KMH:.1f} km/h")

    rows = [
        ("Best mean over 2 s", mean(found.top, "the headline of a log")),
        ("Best mean over 1 s", mean(found.best_1s, "mean of its samples")),
        (f"Best over {found.course_m:g} m", mean(found.best_course, "course over time")),
    ]
    if found.two_way:
        both = found.two_way
        rows.append(
            (
                "Both ways, mean of speeds",
                Measure(
                    both.speed_ms * _KMH,
                    "speed",
                    f"two opposite passes over {both.course_m:g} m, {both.apart_s:.0f} s apart",
                ),
            )
        )
        rows.append(
            (
                "Both ways, mean of times",
                Measure(
                    both.by_times_ms * _KMH, "speed", "both lengths over both times; never more than the mean of speeds"
                ),
            )
        )
    if found.peak:
        rows.append(
            (
                "Highest single sample",
                Measure(found.peak.speed_ms * _KMH, "speed", source, "reads high: the largest of many"),
            )
        )
    return rows


def _facts(looked: Looked) -> list[tuple[str, Measure]]:
    found = looked.measures
    by_place = found.distance_from == "position"
    how = "places on the WGS 84 ellipsoid" if by_place else "the receiver's own speed over time"
    return [
        ("Distance", Measure(found.distance_m, "distance", how)),
        ("Time", Measure(found.duration_s, "duration", "first to last sample")),
        ("Planing", Measure(found.planing_s, "duration", "time above 15 km/h, common practice, no source")),
    ]


def _drive(session: Session, looked: Looked, piece: LogPiece) -> tuple[list[tuple[str, Measure]], list[str]]:
    """Slip, power and energy, each with what it was computed from; and in words what could not be had."""
    rows: list[tuple[str, Measure]] = []
    said: list[str] = []
    top, track = looked.measures.top, looked.track
    if piece.run_id is not None and top is not None:
        facts = drive_facts(session, run(session, piece.run_id))
        rpm = mean_between(track, "shaft_rpm", top.start_s, top.end_s)
        volts = mean_between(track, "voltage_v", top.start_s, top.end_s)
        speed = top.speed_ms * _KMH
        if facts.pitch_mm is None:
            said.append("No slip: the pitch of the prop is not known.")
        elif rpm:
            rows += _slip_row(
                "Slip (measured shaft speed)",
                measured_slip(speed, rpm, facts.pitch_mm),
                f"best 2 s, {rpm:.0f} rpm from the log, pitch {facts.pitch_mm:g} mm",
            )
        elif facts.kv_rpm_v is None or (volts or facts.volts) is None:
            said.append("No slip: the log has no shaft speed, and Kv or volts are not known.")
        else:
            used, words = (volts, "volts from the log") if volts else (facts.volts, facts.volts_from)
            kv = "Kv measured" if facts.kv_measured else "Kv as stated, within 10 %"
            rows += _slip_row(
                "Apparent slip (Kv and volts)",
                apparent_slip(speed, facts.kv_rpm_v, used or 0, facts.pitch_mm, facts.kv_measured),
                f"best 2 s, {kv}, {words} ({used:.1f} V), loaded motor at 80 to 92 % of Kv times volts",
            )
    rows += _load_rows(looked)
    resistance = pack_resistance(track)
    if resistance.milliohm is not None:
        rows.append(
            ("Pack and wires", Measure(resistance.milliohm, "resistance", "slope of voltage over current in the log"))
        )
    elif "voltage_v" in track.channels and "current_a" in track.channels:
        said.append(f"No resistance from this log: {resistance.why_not}.")
    return rows, said


def _slip_row(name: str, found: Slip | None, how: str) -> list[tuple[str, Measure]]:
    if found is None:
        return []
    is_range = found.low != found.high
    return [
        (
            name,
            Measure(
                found.percent,
                "percent",
                how,
                low=found.low if is_range else None,
                high=found.high if is_range else None,
            ),
        )
    ]


def _load_rows(looked: Looked) -> list[tuple[str, Measure]]:
    load = load_of(looked.track)
    km = looked.measures.distance_m / 1000
    per_km = load.energy_wh / km if load.energy_wh is not None and km > 0.05 else None
    rows = [
        ("Lowest voltage", Measure(load.lowest_v, "voltage", "log")),
        ("Mean current", Measure(load.mean_a, "current", "log, over time")),
        ("Highest current", Measure(load.peak_a, "current", "log, single sample")),
        ("Mean power", Measure(load.mean_w, "power", "voltage times current")),
        ("Highest power", Measure(load.peak_w, "power", "voltage times current, single sample")),
        ("Energy", Measure(load.energy_wh, "energy", "voltage times current over time")),
        ("Energy for a km", Measure(per_km, "energy", "energy over distance")),
        ("Charge", Measure(load.charge_mah, "charge", "current over time")),
        ("Highest shaft speed", Measure(load.top_rpm, "shaft_speed", "log, single sample")),
    ]
    return [(name, measure) for name, measure in rows if measure.value is not None]


def _struck(session: Session, row: LogFile, piece: LogPiece, looked: Looked) -> list[sheets.StruckRow]:
    time = store.track_of(session, row).time_s
    with np.errstate(invalid="ignore"):
        inside = np.flatnonzero((time >= piece.start_s) & (time <= piece.end_s))
    return sheets.struck_rows(
        looked.cleaned.reasons.tolist(), inside.tolist(), looked.track.time_s.tolist(), MOST_STRUCK
    )


def _offers(looked: Looked, row: LogFile, piece: LogPiece) -> list[sheets.Offer]:
    """Speeds that can be written as the run's, the best known first."""
    if piece.run_id is None:
        return []
    return [
        sheets.Offer(which, Measure(found["speed_kmh"], "speed"), found["words"])
        for which, found in offered(looked, row.course_m).items()
    ]


def offered(looked: Looked, course_m: float) -> dict[str, dict[str, Any]]:
    """What may become the run's speed, by name, as the run stores it."""
    found = looked.measures
    offers: dict[str, dict[str, Any]] = {}
    passes = max(1, min(100, len(found.passes)))
    if found.two_way:
        offers["both"] = {
            "speed_kmh": round(found.two_way.speed_ms * _KMH, 2),
            "ways": "both ways",
            "averaging_s": None,
            "course_m": course_m,
            "passes": passes,
            "words": f"log, both ways over {course_m:g} m, mean of the speeds",
        }
    if found.top:
        offers["top"] = {
            "speed_kmh": round(found.top.speed_ms * _KMH, 2),
            "ways": "one way",
            "averaging_s": 2.0,
            "course_m": None,
            "passes": passes,
            "words": "log, best 2 s, one way",
        }
    elif found.peak and found.peak.speed_ms * _KMH >= 0.1:
        offers["peak"] = {
            "speed_kmh": round(found.peak.speed_ms * _KMH, 2),
            "ways": "one way",
            "averaging_s": 0.0,
            "course_m": None,
            "passes": passes,
            "words": "log, a single sample, which reads high",
        }
    return offers
