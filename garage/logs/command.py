"""`garage track FILE …`: measure a log without the app."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import Any

from garage.arguments import Arguments, number
from garage.calc.track.agreement import DISPUTED, Agreement
from garage.calc.track.corners import Corner
from garage.calc.track.means import Best
from garage.calc.track.measure import USUAL_COURSE_M, Measures, look_at
from garage.calc.track.passes import USUAL_LIMIT_S, Pass, TwoWay
from garage.errors import GarageError
from garage.logs.readers.reading import read_log

_KMH = 3.6


def track(arguments: list[str]) -> int:
    """Measure each file named; one JSON object for one file, a list for several, which then also name the file. A
    file that cannot be read is said so and does not keep the others from being measured."""
    options = _options(arguments)
    if not 1 <= options.course <= 5000:
        raise GarageError("A course is between 1 and 5000 m long.")
    if not 0 < options.within <= 1440:
        raise GarageError("The time between passes is more than 0 and at most 1440 minutes.")
    found, unread = [], False
    for path in options.files:
        try:
            read = read_log(path)
        except GarageError as error:
            print(f"{path}: {error}", file=sys.stderr)
            unread = True
            continue
        measures = look_at(read.track, options.course, limit_s=options.within * 60).measures
        name = {"file": str(path)} if len(options.files) > 1 else {}
        found.append(name | track_json(measures) | {"kind": read.kind, "notes": [*read.notes, *measures.said]})
        if not options.json:
            print(words(path.name, found[-1]))
    if options.json and found:
        print(json.dumps(found[0] if len(options.files) == 1 else found, indent=1))
    return 2 if unread else 0


def _options(arguments: list[str]) -> argparse.Namespace:
    parser = Arguments(prog="garage track", description="Measure GPS and telemetry logs: speeds, passes, corners.")
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE", help="GPX, NMEA, FIT or delimited text")
    parser.add_argument(
        "--course", type=number, default=USUAL_COURSE_M, metavar="M", help="length of the course in m (default 100.58)"
    )
    parser.add_argument(
        "--within",
        type=number,
        default=USUAL_LIMIT_S / 60,
        metavar="MIN",
        help="longest time from a pass to the opposite one, in minutes (default 60)",
    )
    parser.add_argument("--json", action="store_true", help="print JSON instead of words")
    return parser.parse_args(arguments)


def track_json(measures: Measures) -> dict[str, Any]:
    """What was measured under plain keys, speeds in km/h."""
    return {
        "samples": measures.samples,
        "rate_hz": _rounded(measures.rate_hz, 4),
        "duration_s": _rounded(measures.duration_s, 3),
        "distance_m": _rounded(measures.distance_m, 2),
        "distance_within_m": _rounded(measures.distance_within_m, 2),
        "distance_source": measures.distance_from or None,
        "speed_source": measures.source or None,
        "rejected_samples": measures.rejected_samples,
        "rejected": measures.rejected,
        "top_speed_kmh": _kmh(measures.top),
        "top_speed_within_kmh": _rounded(measures.top.accuracy_ms * _KMH, 2) if measures.top else None,
        "peak_kmh": _kmh(measures.peak),
        "best": {"1s": _kmh(measures.best_1s), "2s": _kmh(measures.top), "course": _kmh(measures.best_course)},
        "course_m": measures.course_m,
        "planing_s": _rounded(measures.planing_s, 2),
        "planing_within_s": _rounded(measures.planing_within_s, 2),
        "two_way": _two_way(measures.two_way, measures.passes),
        "agreement": measures.agreement.verdict,
        "witnesses": _witnesses(measures.agreement),
        "passes": [_pass(one) for one in measures.passes],
        "corners": [_corner(one) for one in measures.corners],
    }


def _rounded(value: float, digits: int) -> float:
    return round(float(value), digits)


def _kmh(best: Best | None) -> float | None:
    return _rounded(best.speed_ms * _KMH, 3) if best else None


def _witnesses(found: Agreement) -> dict[str, Any]:
    """What the receiver and the places say of the window of the headline, and of each other all along."""

    def kmh(speed_ms: float | None) -> float | None:
        return None if speed_ms is None else _rounded(speed_ms * _KMH, 3)

    return {
        "receiver_kmh": kmh(found.receiver_ms),
        "places_kmh": kmh(found.places_ms),
        "ratio": None if found.ratio is None else _rounded(found.ratio, 4),
        "ratio_within": None if found.ratio_within is None else _rounded(found.ratio_within, 4),
    }


def _two_way(both: TwoWay | None, passes: list[Pass]) -> dict[str, Any] | None:
    if both is None:
        return None
    pair = [passes[both.first], passes[both.second]]
    return {
        "course_m": both.course_m,
        "speed_kmh": _rounded(both.speed_ms * _KMH, 3),
        "within_kmh": _rounded(both.accuracy_ms * _KMH, 2),
        "passes": 2,
        "mean_of": "speeds",
        "mean_of_times_kmh": _rounded(both.by_times_ms * _KMH, 3),
        "pass_kmh": [_rounded((one.course_ms or 0) * _KMH, 3) for one in pair],
        "pass_heading_deg": [_rounded(one.heading_deg or 0, 1) for one in pair],
        "apart_s": _rounded(both.apart_s, 2),
    }


def _pass(one: Pass) -> dict[str, Any]:
    return {
        "start_s": _rounded(one.start_s, 3),
        "end_s": _rounded(one.end_s, 3),
        "heading_deg": None if one.heading_deg is None else _rounded(one.heading_deg, 1),
        "length_m": _rounded(one.length_m, 2),
        "entry_kmh": _rounded(one.entry_ms * _KMH, 3),
        "peak_kmh": _rounded(one.peak_ms * _KMH, 3),
        "exit_kmh": _rounded(one.exit_ms * _KMH, 3),
        "course_kmh": None if one.course_ms is None else _rounded(one.course_ms * _KMH, 3),
    }


def _corner(one: Corner) -> dict[str, Any]:
    return {
        "start_s": _rounded(one.start_s, 3),
        "end_s": _rounded(one.end_s, 3),
        "entry_kmh": _rounded(one.entry_ms * _KMH, 3),
        "lowest_kmh": _rounded(one.lowest_ms * _KMH, 3),
        "exit_kmh": _rounded(one.exit_ms * _KMH, 3),
        "radius_m": _rounded(one.radius_m, 2),
        "lateral_g": _rounded(one.lateral_g, 3),
        "turned_deg": _rounded(one.turned_deg, 1),
        "kept_percent": _rounded(one.kept_percent, 1),
        "rough": one.is_rough,
    }


def _asked(said: dict[str, Any]) -> str:
    """Both figures of a log that contradicts itself, and the question."""
    receiver, places = (
        "–" if said[name] is None else f"{said[name]:.1f} km/h" for name in ("receiver_kmh", "places_kmh")
    )
    return f"which is right? The receiver says {receiver}, the places say {places}; or neither: no top speed"


def words(name: str, found: dict[str, Any]) -> str:
    """The same in lines to read."""
    source = {"doppler": "the receiver's own speed", "position": "worked out from positions", None: "none"}
    lines = [
        f"{name}: {found['kind']}, {found['samples']} samples, {found['rate_hz']:g} Hz, {found['duration_s']:g} s, "
        f"{found['distance_m']:.0f} m",
        f"  speeds: {source[found['speed_source']]}; {found['rejected_samples']} samples do not count"
        + "".join(f", {count} {reason}" for reason, count in found["rejected"].items()),
    ]
    for label, value, how in (
        ("top speed", found["top_speed_kmh"], f"best 2 s mean, within {found['top_speed_within_kmh']} km/h"),
        ("best 1 s", found["best"]["1s"], ""),
        ("over the course", found["best"]["course"], f"{found['course_m']:g} m"),
        ("highest sample", found["peak_kmh"], "a single reading: it reads high"),
    ):
        lines.append(f"  {label}: " + ("–" if value is None else f"{value:.1f} km/h" + (f" ({how})" if how else "")))
    if found["agreement"] == DISPUTED:
        lines.append(f"  {_asked(found['witnesses'])}")
    both = found["two_way"]
    if both:
        out, back = both["pass_kmh"]
        lines.append(
            f"  both ways: {both['speed_kmh']:.1f} km/h (mean of the speeds {out:.1f} and {back:.1f}; by the times "
            f"{both['mean_of_times_kmh']:.1f}; within {both['within_kmh']})"
        )
    lines.append(f"  planing: {found['planing_s']:g} s; {len(found['passes'])} passes, {len(found['corners'])} corners")
    for corner in found["corners"][:20]:
        lines.append(
            f"  corner at {corner['start_s']:.0f} s: {corner['entry_kmh']:.1f} in, {corner['lowest_kmh']:.1f} lowest, "
            f"{corner['exit_kmh']:.1f} out, radius {corner['radius_m']:.1f} m, {corner['lateral_g']:.2f} g"
            + (", rough: few samples" if corner["rough"] else "")
        )
    return "\n".join(lines + [f"  note: {note}" for note in found["notes"]])
