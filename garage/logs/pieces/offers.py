"""Which speeds of a log may become the run's own."""

from __future__ import annotations

from typing import Any

from garage.calc.track.measure import Looked

_KMH = 3.6


def offered(looked: Looked, course_m: float) -> dict[str, dict[str, Any]]:
    """What may become the run's speed, by name, as the run stores it; nothing of a log that contradicts itself."""
    found = looked.measures
    if found.agreement.is_disputed:
        return {}
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
            "words": "log, mean over two seconds, one way",
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
