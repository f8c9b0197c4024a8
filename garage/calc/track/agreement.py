"""Whether the receiver's own speeds and its places tell of one drive, or deny each other.

A receiver has its speeds by the Doppler shift and its places by the time of the signals: two witnesses of one drive.
Where they deny each other by more than both err, no figure of the log is a speed. Limits by simulation of receivers'
usual errors; common practice knows none.
"""

from __future__ import annotations

from dataclasses import dataclass

from garage.calc.arrays import np
from garage.calc.track.means import Best
from garage.calc.track.motion import Motion
from garage.calc.track.track import Track
from garage.calc.track.witness_windows import Spans, fixes_of, spans_all_along, spans_from

AGREE, ONE_WITNESS, DISPUTED = "agree", "one witness", "disputed"

# All along a log the speeds may be off by this share of what the places say, or by three standard errors of that.
_RATIO_LIMIT = 0.015
_STANDARD_ERRORS = 3.0
# In the window of the headline both may differ by four times the usual spread more than they usually do.
_SPREADS = 4.0
_LEAST_SPREAD_MS = 0.15
# What is usual where a log has too few windows to show it.
_USUAL_SPREAD_MS = 0.4
_LEAST_WINDOWS = 6
# What a few seconds' mean is usually off by, and how many windows' worth of weight that has beside what is seen.
_USUAL_ERROR_MS = 0.2
_AS_MANY_AS = 6
_GROSS = 1.5
# A lag of either witness passes for a difference while speed changes, an uneven bend while she turns.
_STEADY_MS2 = 0.6
_STRAIGHT_RAD = 0.5
# What a speed reads if its number in such a unit is taken for one in m/s.
_UNITS_AS_MS = {"km/h": 3.6, "knots": 3600 / 1852, "mph": 1 / 0.44704}
_MAD_TO_SD = 1.4826
_MEDIAN_TO_MEAN = 1.25


@dataclass(frozen=True)
class Agreement:
    """What two witnesses say: `verdict` is one of the three above.

    `receiver_ms` and `places_ms` are both means over the window of the headline (the places' by `ratio`, where that
    window lies in a bend); `ratio` is how many times the
    places' speed the receiver's is all along, `ratio_within` two standard errors of that. None where not known.
    `by` says what they disagree in: "ratio", "window", or "".
    """

    verdict: str = ONE_WITNESS
    receiver_ms: float | None = None
    places_ms: float | None = None
    ratio: float | None = None
    ratio_within: float | None = None
    by: str = ""

    @property
    def is_disputed(self) -> bool:
        """Whether the two deny each other."""
        return self.verdict == DISPUTED


def agreement_of(track: Track, motion: Motion, top: Best | None) -> Agreement:
    """Hold the speeds of a log against its places, all along and in the window of the headline `top`. O(n)."""
    receiver = top.speed_ms if top is not None else None
    fixes = fixes_of(track, motion) if motion.source == "doppler" and not motion.is_too_sparse else None
    if fixes is None:
        return Agreement(receiver_ms=receiver)
    short = _fast(spans_all_along(motion, fixes, 2))
    ratio, error = _ratio(_fast(spans_all_along(motion, fixes, 4)), short)
    places, straight, denied = None, False, False
    if top is not None:
        # A window of samples reaches half a step beyond the first and the last.
        start = np.clip(top.start_s, motion.time_s[0], max(motion.time_s[0], motion.time_s[-1] - 2.0))
        places, straight, denied = _in_window(spans_from(motion, fixes, np.array([start]), 2), short)
    off = 0.0 if ratio is None else abs(ratio - 1)
    by_ratio = off > max(_RATIO_LIMIT, _STANDARD_ERRORS * error) or (ratio is not None and _is_gross(ratio))
    by = "ratio" if by_ratio else "window" if denied else ""
    if by == "ratio" and receiver is not None and ratio and not straight:
        # Chords cut a bend short; all along, the places keep their scale.
        places = receiver / ratio
    heard = ratio is not None or places is not None
    verdict = DISPUTED if by else AGREE if heard else ONE_WITNESS
    return Agreement(verdict, receiver, places, ratio, None if ratio is None else 2 * error, by)


def _fast(spans: Spans) -> Spans:
    """The windows faster than half of the top, which say something of speed."""
    if not len(spans.receiver_ms):
        return spans
    fast = spans.receiver_ms > 0.5 * float(np.percentile(spans.receiver_ms, 98))
    return _those(spans, fast & (spans.places_ms > 0))


def _those(spans: Spans, which: np.ndarray) -> Spans:
    return Spans(spans.receiver_ms[which], spans.places_ms[which], spans.turned_rad[which], spans.gained_ms2[which])


def _ratio(long: Spans, short: Spans) -> tuple[float | None, float]:
    """How many times the places' speed the receiver's is, and its standard error; None with too few windows."""
    for spans in (long, short):
        steady = _those(spans, (spans.turned_rad < _STRAIGHT_RAD) & (np.abs(spans.gained_ms2) < _STEADY_MS2))
        if len(steady.receiver_ms) >= _LEAST_WINDOWS:
            return _median_ratio(steady)
    ratio, error = _median_ratio(short) if len(short.receiver_ms) else (1.0, 0.0)
    return (ratio, error) if _is_gross(ratio) else (None, 0.0)


def _is_gross(ratio: float) -> bool:
    """Neither a lag nor a bend makes one of the two half as fast again as the other, a wrong unit does."""
    return not 1 / _GROSS < ratio < _GROSS


def _median_ratio(spans: Spans) -> tuple[float, float]:
    ratios, count = spans.receiver_ms / spans.places_ms, len(spans.receiver_ms)
    # Windows overlap by half; few of them show too small a spread by luck as easily as too large a one.
    apart, usual = count / 2, _USUAL_ERROR_MS / float(np.median(spans.receiver_ms))
    spread = ((_AS_MANY_AS * usual**2 + count * _spread(ratios) ** 2) / (_AS_MANY_AS + count)) ** 0.5
    return float(np.median(ratios)), _MEDIAN_TO_MEAN * spread / apart**0.5 * (1 + 3 / apart)


def _in_window(window: Spans, short: Spans) -> tuple[float | None, bool, bool]:
    """The places' speed in the window of the headline, whether she went straight, and whether they then deny the
    receiver's."""
    if not len(window.receiver_ms):
        return None, False, False
    off = float(window.receiver_ms[0] - window.places_ms[0])
    straight = _those(short, short.turned_rad < _STRAIGHT_RAD)
    usual, spread = 0.0, _USUAL_SPREAD_MS
    if len(straight.receiver_ms) >= _LEAST_WINDOWS:
        differences = straight.receiver_ms - straight.places_ms
        usual, spread = float(np.median(differences)), max(_LEAST_SPREAD_MS, _spread(differences))
    denied = abs(off - usual) > _SPREADS * spread
    is_straight = bool(window.turned_rad[0] < _STRAIGHT_RAD)
    return float(window.places_ms[0]), is_straight, denied and is_straight


def _spread(values: np.ndarray) -> float:
    """A standard deviation that a few wild values do not move."""
    return _MAD_TO_SD * float(np.median(np.abs(values - np.median(values))))


def denial_words(found: Agreement) -> list[str]:
    """What the two disagree in, and what may lie behind it."""
    if not found.is_disputed:
        return []
    times = found.ratio
    if found.by == "window":
        times = (found.receiver_ms or 0) / found.places_ms if found.places_ms else None
        said = (
            "In the two seconds of its highest mean the receiver's speed is not that of its places, by far more than "
            "the two differ elsewhere. The log contradicts itself there, so it has no top speed."
        )
    else:
        said = f"The file's speeds are {_times_words(times or 1)} what its positions say, so it has no top speed."
    return [said] + [
        f"Speeds in {unit} that are taken for m/s come out {factor:.2f} times too high: are they in {unit}?"
        for unit, factor in _UNITS_AS_MS.items()
        if times is not None and abs(times / factor - 1) < 0.1
    ]


def _times_words(times: float) -> str:
    if abs(times - 1) >= 0.2:
        return f"{times:.2f} times"
    return f"{abs(times - 1) * 100:.1f} % {'above' if times > 1 else 'below'}"
