"""Columns of text to columns of numbers, quickly when all is well formed and patiently when it is not."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import UTC, datetime

from garage.calc.arrays import np

_PATTERN = b"0000-00-00T00:00:00"
_DATE_AND_TIME = re.compile(
    r"\s*(\d{4})[-/.]?(\d{2})[-/.]?(\d{2})[T ]+(\d{1,2}):?(\d{2}):?(\d{2})(?:[.,](\d+))?\s*(Z|[+-]\d{2}:?\d{2})?\s*",
    re.IGNORECASE | re.ASCII,
)


def numbers(texts: Sequence[str], decimal_comma: bool = False) -> np.ndarray:
    """Each text as a number; NaN for what is none, or is not finite."""
    cleaned = [text.replace(",", ".") for text in texts] if decimal_comma else texts
    try:
        values = np.array(cleaned, dtype=float) if len(cleaned) else np.empty(0)
    except ValueError:
        values = np.array([_number(text) for text in cleaned], dtype=float)
    values[~np.isfinite(values)] = np.nan
    return values


def _number(text: str) -> float:
    # float() takes "1_0" and full-width digits; a log writes neither.
    if not text.isascii() or "_" in text:
        return float("nan")
    try:
        return float(text)
    except ValueError:
        return float("nan")


def moments(texts: Sequence[str]) -> np.ndarray:
    """ISO 8601 times as seconds since 1970 in UTC; NaN for what is none. Without a zone UTC is meant."""
    if not len(texts):
        return np.empty(0)
    quick = _alike(texts)
    return np.array([_moment(text) for text in texts]) if quick is None else quick


def _alike(texts: Sequence[str]) -> np.ndarray | None:
    """The same when every text is written in one way, with "Z" at the end; None when they are not."""
    length = len(texts[0])
    joined = "".join(texts)
    if length < 20 or len(joined) != length * len(texts) or not joined.isascii():
        return None
    signs = np.frombuffer(joined.encode(), dtype=np.uint8).reshape(len(texts), length)
    fixed = [place for place, sign in enumerate(_PATTERN) if not chr(sign).isdigit()]
    digits = [place for place in range(length - 1) if place not in fixed and place != 19]
    if (
        not bool((signs[:, -1] == ord("Z")).all())
        or length == 21
        or (length > 21 and not bool((signs[:, 19] == ord(".")).all()))
    ):
        return None
    if not all(bool((signs[:, place] == _PATTERN[place]).all()) for place in fixed):
        return None
    figures = signs[:, digits].astype(np.int64) - ord("0")
    if bool(((figures < 0) | (figures > 9)).any()):
        return None

    def field(start: int, count: int) -> np.ndarray:
        return figures[:, start : start + count] @ (10 ** np.arange(count - 1, -1, -1))

    year, month, day = field(0, 4), field(4, 2), field(6, 2)
    hour, minute, second = field(8, 2), field(10, 2), field(12, 2)
    if bool(((month < 1) | (month > 12) | (day < 1) | (hour > 23) | (minute > 59) | (second > 60)).any()):
        return None
    months = ((year - 1970) * 12 + month - 1).astype("datetime64[M]")
    days = months.astype("datetime64[D]").astype(np.int64) + day - 1
    if bool((days >= (months + 1).astype("datetime64[D]").astype(np.int64)).any()):
        return None
    part = figures.shape[1] - 14
    fraction = field(14, min(part, 15)) / 10 ** min(part, 15) if part else 0.0
    return days * 86400.0 + hour * 3600 + minute * 60 + second + fraction


def _moment(text: str) -> float:
    found = _DATE_AND_TIME.fullmatch(text)
    if found is None:
        return float("nan")
    *parts, fraction, zone = found.groups()
    try:
        year, month, day, hour, minute, second = (int(part) for part in parts)
        whole = datetime(year, month, day, hour, minute, min(second, 59), tzinfo=UTC).timestamp()
    except (ValueError, OverflowError):
        return float("nan")
    offset = 0.0
    if zone and zone.upper() != "Z":
        sign = -1 if zone[0] == "-" else 1
        offset = sign * (int(zone[1:3]) * 3600 + int(zone[-2:]) * 60)
    return whole + (second - min(second, 59)) + float(f"0.{fraction or 0}") - offset


_CLOCK = re.compile(r"\s*(?:(\d+):)?(\d{1,3}):(\d{2})(?:[.,](\d+))?\s*", re.ASCII)


def clocks(texts: Sequence[str]) -> np.ndarray:
    """Times of day or stop-watch times, `h:mm:ss.f` or `mm:ss.f`, in seconds; NaN for what is none."""
    return np.array([_clock(text) for text in texts]) if len(texts) else np.empty(0)


def _clock(text: str) -> float:
    found = _CLOCK.fullmatch(text)
    if found is None:
        return float("nan")
    hours, minutes, seconds, fraction = found.groups()
    if hours and len(hours) > 4:
        return float("nan")
    return int(hours or 0) * 3600 + int(minutes) * 60 + int(seconds) + float(f"0.{(fraction or '0')[:9]}")
