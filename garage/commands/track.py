"""`garage track FILE …`: measure a log without the app."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import Any

from garage.api.tracks import USUAL_COURSE_M, USUAL_LIMIT_MIN, checked, track_of
from garage.arguments import Arguments, number
from garage.calc.track.agreement import DISPUTED
from garage.errors import GarageError


def track(arguments: list[str]) -> int:
    """Measure each file named; one JSON object for one file, a list for several, which then also name the file. A
    file that cannot be read is said so and does not keep the others from being measured."""
    options = _options(arguments)
    checked(options.course, options.within)
    found, unread = [], False
    for path in options.files:
        try:
            measured = track_of(path, course_m=options.course, within_min=options.within)
        except GarageError as error:
            print(f"{path}: {error}", file=sys.stderr)
            unread = True
            continue
        name = {"file": str(path)} if len(options.files) > 1 else {}
        found.append(name | measured)
        if not options.json:
            print(words(path.name, measured))
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
        default=USUAL_LIMIT_MIN,
        metavar="MIN",
        help="longest time from a pass to the opposite one, in minutes (default 60)",
    )
    parser.add_argument("--json", action="store_true", help="print JSON instead of words")
    return parser.parse_args(arguments)


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
    disputed = found["agreement"] == DISPUTED
    single = "of a log that contradicts itself" if disputed else "it reads high"
    both = found["two_way"]
    if both:
        out, back = both["pass_kmh"]
        lines.append(
            f"  both ways: {both['speed_kmh']:.1f} km/h (mean of the speeds {out:.1f} and {back:.1f}; by the times "
            f"{both['mean_of_times_kmh']:.1f}; within {both['within_kmh']})"
        )
    for label, value, how in (
        ("mean over two seconds", found["top_speed_kmh"], f"within {found['top_speed_within_kmh']} km/h"),
        ("one way over the course", found["best"]["course"], f"{found['course_m']:g} m"),
    ):
        lines.append(f"  {label}: " + ("–" if value is None else f"{value:.1f} km/h ({how})"))
    if found["peak_kmh"] is not None:
        lines.append(f"  a single reading: {found['peak_kmh']:.1f} km/h ({single})")
    if disputed:
        lines.append(f"  {_asked(found['witnesses'])}")
    lines.append(f"  planing: {found['planing_s']:g} s; {len(found['passes'])} passes, {len(found['corners'])} corners")
    for corner in found["corners"][:20]:
        lines.append(
            f"  corner at {corner['start_s']:.0f} s: {corner['entry_kmh']:.1f} in, {corner['lowest_kmh']:.1f} lowest, "
            f"{corner['exit_kmh']:.1f} out, radius {corner['radius_m']:.1f} m, {corner['lateral_g']:.2f} g"
            + (", rough: few samples" if corner["rough"] else "")
        )
    return "\n".join(lines + [f"  note: {note}" for note in found["notes"]])
