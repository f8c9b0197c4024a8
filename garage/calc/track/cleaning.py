"""Which samples of a log do not count, and why. Nothing is thrown away: a sample is only marked."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass

from garage.calc.arrays import np
from garage.calc.track.geodesy import plan_m
from garage.calc.track.track import Track

# By code: what is the matter with a sample. Code 0 counts; the last one only lacks what speeds are taken from.
REASONS = (
    "",
    "time not known",
    "time repeated or running backwards",
    "poor fix",
    "position jumps",
    "faster than any boat",
    "acceleration beyond what a boat does",
    "no reading",
)
COUNTS, NO_TIME, BACKWARDS, POOR_FIX, JUMP, TOO_FAST, TOO_SUDDEN, NO_READING = range(len(REASONS))

_G = 9.80665
# What a model boat may do along its course and across it; common practice, no source. Fast ones reach 100 km/h
# in about two seconds (1.4 g) and take 3 g in a turn.
MOST_ALONG_MS2 = 2.5 * _G
MOST_ACROSS_MS2 = 4.0 * _G
FASTEST_MS = 400 / 3.6
# A sudden step this close to an end of an unbroken stretch is a bad beginning or end, not a stop.
_EDGE_S = 1.0
_ROUNDS = 6
_LEAST_SPEED_TOLERANCE_MS = 0.5
_LEAST_PLACE_TOLERANCE_M = 0.3


@dataclass(frozen=True)
class Cleaned:
    """`reasons` holds a code for each sample of the track (see REASONS); `source` says what speeds are taken from.

    `source` is "doppler", "position", or "" if there is neither.
    """

    reasons: np.ndarray
    source: str

    @property
    def kept(self) -> np.ndarray:
        """Which samples count."""
        return self.reasons == COUNTS

    def rejected(self) -> dict[str, int]:
        """How many samples do not count, by reason; those that merely lack a reading are left out."""
        counts = np.bincount(self.reasons, minlength=len(REASONS))
        return {REASONS[code]: int(counts[code]) for code in range(1, NO_READING) if counts[code]}


def clean(track: Track, restored: Iterable[int] = ()) -> Cleaned:
    """Look at every sample of `track`; those numbered in `restored` count whatever is found. O(n)."""
    reasons = np.zeros(len(track), dtype=np.uint8)
    reasons[~np.isfinite(track.time_s)] = NO_TIME
    _mark(reasons, _out_of_order(track.time_s, reasons == COUNTS), BACKWARDS)
    if track.poor_fix is not None:
        _mark(reasons, track.poor_fix, POOR_FIX)
    source = speed_source(track)
    if source == "doppler":
        _clean_speeds(track, reasons)
    elif source == "position":
        _clean_places(track, reasons)
    for index in restored:
        if 0 <= index < len(reasons) and reasons[index] not in (NO_TIME, NO_READING):
            reasons[index] = COUNTS
    return Cleaned(reasons, source)


def speed_source(track: Track) -> str:
    """ "doppler" if half of the samples have the receiver's own speed, else "position" if there are places.

    A file that writes a speed of 0 throughout while its places move has no speeds.
    """
    moves = track.has_positions and len(track) > 1
    if track.speed_ms is not None:
        known = np.isfinite(track.speed_ms)
        if known.sum() * 2 >= len(track) and known.any():
            stands = float(np.nanmax(np.abs(track.speed_ms))) == 0.0
            if not (stands and moves and _moved_m(track) > 20):
                return "doppler"
    return "position" if moves else ""


def _moved_m(track: Track) -> float:
    assert track.lat_deg is not None and track.lon_deg is not None
    east, north = plan_m(track.lat_deg, track.lon_deg)
    return float(np.hypot(np.nanmax(east) - np.nanmin(east), np.nanmax(north) - np.nanmin(north)))


def _mark(reasons: np.ndarray, wrong: np.ndarray, code: int) -> None:
    reasons[wrong & (reasons == COUNTS)] = code


def _out_of_order(time_s: np.ndarray, known: np.ndarray) -> np.ndarray:
    """The samples that stand against the order of time: the fewest that must go for the rest to run forwards."""
    wrong = np.zeros(len(time_s), dtype=bool)
    order = np.flatnonzero(known)
    times = time_s[order]
    if len(times) < 2 or bool((np.diff(times) > 0).all()):
        return wrong
    repeated = np.concatenate(([False], np.diff(times) == 0))
    wrong[order[repeated]] = True
    order, times = order[~repeated], times[~repeated]
    wrong[order] = True
    wrong[order[_longest_rise(times.tolist())]] = False
    return wrong


def _longest_rise(values: list[float]) -> list[int]:
    """Where the longest run of strictly rising values stands, gaps allowed; O(n log n)."""
    ends: list[float] = []
    ends_at: list[int] = []
    before = [-1] * len(values)
    for index, value in enumerate(values):
        place = bisect_left(ends, value)
        if place == len(ends):
            ends.append(value)
            ends_at.append(index)
        else:
            ends[place], ends_at[place] = value, index
        before[index] = ends_at[place - 1] if place else -1
    rise, index = [], ends_at[-1] if ends_at else -1
    while index >= 0:
        rise.append(index)
        index = before[index]
    return rise[::-1]


def _clean_speeds(track: Track, reasons: np.ndarray) -> None:
    speed = track.speed_ms
    assert speed is not None
    _mark(reasons, ~np.isfinite(speed), NO_READING)
    with np.errstate(invalid="ignore"):
        _mark(reasons, (speed < 0) | (speed > FASTEST_MS), TOO_FAST)
    order = np.flatnonzero(reasons == COUNTS)
    wrong = _too_sudden(track.time_s[order], speed[order])
    reasons[order[wrong]] = TOO_SUDDEN


def noise_of(values: np.ndarray) -> float:
    """How much a column jitters from sample to sample (one standard deviation).

    By its third differences, which a steady acceleration or a turn hardly touches; 20 is the sum of the squares
    of 1, 3, 3, 1, and 0.6745 turns a median into a standard deviation.
    """
    if len(values) < 5:
        return 0.0
    return float(np.median(np.abs(np.diff(values, 3))) / 0.6745 / 20**0.5)


def _too_sudden(time_s: np.ndarray, speed_ms: np.ndarray) -> np.ndarray:
    """Samples that cannot be reached from the last good one, neither forwards nor backwards in time.

    A boat that stops dead is reached from one side, so both sides of a crash stay; a spike is reached from none.
    """
    wrong = np.zeros(len(time_s), dtype=bool)
    if len(time_s) < 2:
        return wrong
    tolerance = max(_LEAST_SPEED_TOLERANCE_MS, 6 * noise_of(speed_ms))
    sudden = np.abs(np.diff(speed_ms)) > MOST_ALONG_MS2 * np.diff(time_s) + tolerance
    if not sudden.any():
        return wrong
    forwards = _unreachable(time_s, speed_ms, tolerance)
    backwards = _unreachable(-time_s[::-1], speed_ms[::-1], tolerance)[::-1]
    wrong = forwards & backwards
    wrong |= backwards & (time_s - time_s[0] < _EDGE_S)
    wrong |= forwards & (time_s[-1] - time_s < _EDGE_S)
    return wrong


def _unreachable(time_s: np.ndarray, speed_ms: np.ndarray, tolerance_ms: float) -> np.ndarray:
    times, speeds = time_s.tolist(), speed_ms.tolist()
    last_time, last_speed = times[0], speeds[0]
    wrong = []
    for time, speed in zip(times, speeds, strict=True):
        far = abs(speed - last_speed) > MOST_ALONG_MS2 * (time - last_time) + tolerance_ms
        wrong.append(far)
        if not far:
            last_time, last_speed = time, speed
    return np.array(wrong, dtype=bool)


def _clean_places(track: Track, reasons: np.ndarray) -> None:
    lat, lon = track.lat_deg, track.lon_deg
    assert lat is not None and lon is not None
    with np.errstate(invalid="ignore"):
        on_earth = (np.abs(lat) <= 90) & (np.abs(lon) <= 360) & ~((lat == 0) & (lon == 0))
    _mark(reasons, ~(np.isfinite(lat) & np.isfinite(lon)), NO_READING)
    _mark(reasons, ~on_earth, JUMP)
    if not (reasons == COUNTS).any():
        return
    east, north = plan_m(np.where(reasons == COUNTS, lat, np.nan), np.where(reasons == COUNTS, lon, np.nan))
    order = np.flatnonzero(reasons == COUNTS)
    good = without_jumps(track.time_s[order], east[order], north[order])
    reasons[order[~good]] = JUMP


def without_jumps(time_s: np.ndarray, east_m: np.ndarray, north_m: np.ndarray) -> np.ndarray:
    """Which of some known places a boat can have passed one after the other."""
    good = np.ones(len(time_s), dtype=bool)
    for _ in range(_ROUNDS):
        order = np.flatnonzero(good)
        wrong = _out_of_line(time_s[order], east_m[order], north_m[order])
        if not wrong.any():
            break
        good[order[wrong]] = False
    return good


def _out_of_line(time_s: np.ndarray, east: np.ndarray, north: np.ndarray) -> np.ndarray:
    """Points further from the line between their neighbours than a boat can go, each the worst of its own."""
    wrong = np.zeros(len(time_s), dtype=bool)
    if len(time_s) < 3:
        return wrong
    before, after = np.diff(time_s)[:-1], np.diff(time_s)[1:]
    share = before / (before + after)
    chord_e, chord_n = east[2:] - east[:-2], north[2:] - north[:-2]
    off_e = east[1:-1] - east[:-2] - share * chord_e
    off_n = north[1:-1] - north[:-2] - share * chord_n
    off = np.hypot(off_e, off_n)
    tolerance = max(_LEAST_PLACE_TOLERANCE_M, 6 * float(np.median(off)) / 1.1774)
    length = np.maximum(np.hypot(chord_e, chord_n), 1e-9)
    along = np.abs(off_e * chord_e + off_n * chord_n) / length
    across = np.abs(off_e * chord_n - off_n * chord_e) / length
    reach = before * after / 2
    excess = np.maximum(along - MOST_ALONG_MS2 * reach - tolerance, across - MOST_ACROSS_MS2 * reach - tolerance)
    padded = np.concatenate(([-np.inf], excess, [-np.inf]))
    worst = (excess >= padded[:-2]) & (excess > padded[2:])
    wrong[1:-1] = (excess > 0) & worst
    return wrong
