"""What was measured in a log under plain keys: for the command, the library, and what is kept of each piece."""

from __future__ import annotations

from typing import Any

from garage.calc.track.agreement import Agreement
from garage.calc.track.corners import Corner
from garage.calc.track.means import Best
from garage.calc.track.measure import Measures
from garage.calc.track.passes import Pass, TwoWay

_KMH = 3.6


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
