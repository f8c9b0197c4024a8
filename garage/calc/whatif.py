"""Another prop or voltage on a measured boat: what shaft speed, speed and current to expect, with their range.

Scaled from one measured run, by laws that hold near it and not far from it:
- the motor follows its three constants (see motor), Kv known to 2 %, resistance to 15 % (it warms up in a run);
- torque on the shaft grows with D⁵, with pitch ratio to a power between 0.8 and 1.5 and with shaft speed to a power
  between 1.85 and 2.15 (common practice, no source: no published coefficients cover surface-piercing props);
- slip stays what it was in the measured run, give or take a point and a half;
- the full-throttle current follows from a mean one by the share of full throttle, the rest of the run drawing
  between nothing and half of it.
The range comes from samples spread evenly with a fixed seed: the same inputs give the same answer. Where a person ran
other props on the same hull, each sample counts by how well it tells what those props really did (likelihood weights),
so middle and range are refitted to that boat; samples that none of them believes in are not forced on it.
"""

import math
import random
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from statistics import NormalDist, pstdev
from typing import NamedTuple

from garage.calc.motor import Motor, load_point
from garage.calc.pack import full_throttle_current_a
from garage.calc.prop import pitch_speed_kmh

PITCH_POWERS = (0.8, 1.5)
_IDLE_PARTS = (0.0, 0.5)
_TORQUE_POWERS = (1.85, 2.15)
_KV_SD = 0.02
_RESISTANCE_SD = 0.15
# How far off the current was on an open thrust stand (two motors, 12 props, 7 to 11 V): 2.0 % in the mean, its root
# mean square 2.4 %.
_CURRENT_SD = 0.02
# Half of how far slip moves (by variance) goes with the measured run, for all other props alike; half with the prop.
_SLIP_SD = 0.015
_HALF_SLIP_SD = _SLIP_SD / math.sqrt(2)
# Of what a person saw with another prop, at the least: scatter of speeds with the slip of that prop; scatter of a mean
# current from the refill (common practice, no source).
_OWN_SPEED_SD = 0.02
_OWN_CURRENT_SD = 0.10
# Beyond three standard deviations for each prop, or with fewer samples left than this, own runs contradict the laws.
_BELIEVED = 4.5
_FEWEST_EFFECTIVE = 50
MOST_OWN = 8
_IDLING = "The current must be more than the motor’s no-load current."
_SAMPLES = 512
# Own runs leave only few of them to count.
_SAMPLES_TO_FIT = 2048
_SEED = 20110
# Powers of the one number x with x⁹ = x + 1: the most even steps in eight directions.
_STEPS = tuple(1.0850702454914508**-power for power in range(1, 9))
_NORMAL = NormalDist()


@dataclass(frozen=True)
class MeasuredRun:
    """A run at full throttle: volts under load where `motor.resistance_ohm` begins, prop in mm, speed in km/h.

    `current_a` is the mean of the run when `full_throttle_share` is under 1. `pack_resistance_ohm` lets the
    volts sag or recover with the current.
    """

    motor: Motor
    voltage_v: float
    current_a: float
    speed_kmh: float
    diameter_mm: float
    pitch_mm: float
    full_throttle_share: float = 1.0
    pack_resistance_ohm: float = 0.0


@dataclass(frozen=True)
class Change:
    """What is other than in the measured run; None is the same. `voltage_v` is at the measured current."""

    diameter_mm: float | None = None
    pitch_mm: float | None = None
    voltage_v: float | None = None


class Outcome(NamedTuple):
    """One answer at full throttle."""

    shaft_speed_rpm: float
    speed_kmh: float
    current_a: float
    motor_power_w: float


_SAME = Change()


@dataclass(frozen=True)
class OwnRun:
    """A prop and the speed it gave on the same hull with the same packs and motor; `current_a` of the kind that the
    measured run has, if known."""

    diameter_mm: float
    pitch_mm: float
    speed_kmh: float
    current_a: float | None = None


@dataclass(frozen=True)
class OwnFit:
    """How the forecast did on a person's other props: seen speed by the forecast, in percent, before the fit and after
    it. `is_used` is False when they contradict every sample, so that the forecast was left as it was."""

    props: int
    mean_percent: float
    worst_percent: float
    left_percent: float
    is_used: bool


@dataclass(frozen=True)
class Forecast:
    """The middle answer, and below and above it what one case in twenty falls outside of (90 % within)."""

    middle: Outcome
    low: Outcome
    high: Outcome
    slip: float
    own: OwnFit | None = None


class Guess(NamedTuple):
    """What is not known: powers of pitch ratio and shaft speed, the other part's current, how far slip moves with
    this prop and with every other than the measured one, by what the motor's Kv and resistance, and the whole
    forecast of the current, are off."""

    pitch_power: float = sum(PITCH_POWERS) / 2
    torque_power: float = 2.0
    idle_part: float = sum(_IDLE_PARTS) / 2
    slip_shift: float = 0.0
    slip_bias: float = 0.0
    kv_factor: float = 1.0
    resistance_factor: float = 1.0
    current_factor: float = 1.0

    def motor(self, motor: Motor) -> Motor:
        """The motor as this guess has it."""
        return Motor(
            motor.kv_rpm_per_v * self.kv_factor,
            motor.resistance_ohm * self.resistance_factor,
            motor.no_load_current_a,
        )


def outcome(run: MeasuredRun, change: Change, guess: Guess) -> tuple[Outcome, float]:
    """Full throttle after `change` by one guess, and the slip of the measured run (a fraction).

    ValueError when the measured run cannot be: a shaft that stands still, a current below the no-load current.
    """
    motor = guess.motor(run.motor)
    current_a = full_throttle_current_a(run.current_a, run.full_throttle_share, guess.idle_part)
    before = load_point(motor, run.voltage_v, current_a)
    if before.torque_nm <= 0:
        raise ValueError(_IDLING)
    found = _outcome(run, change, guess)
    return found, 1 - run.speed_kmh / pitch_speed_kmh(before.shaft_speed_rpm, run.pitch_mm)


def _outcome(run: MeasuredRun, change: Change, guess: Guess) -> Outcome:
    """The same for a run that can be, thousands of times over: the motor's laws (see motor) written out."""
    kv = run.motor.kv_rpm_per_v * guess.kv_factor
    resistance, no_load_a = run.motor.resistance_ohm * guess.resistance_factor, run.motor.no_load_current_a
    current_a = full_throttle_current_a(run.current_a, run.full_throttle_share, guess.idle_part)
    before_rpm = kv * (run.voltage_v - current_a * resistance)
    if before_rpm <= 0:
        raise ValueError("At this voltage and current the shaft stands still.")
    if current_a <= no_load_a:
        raise ValueError(_IDLING)
    kept = run.speed_kmh / pitch_speed_kmh(before_rpm, run.pitch_mm)
    diameter_mm, pitch_mm = change.diameter_mm or run.diameter_mm, change.pitch_mm or run.pitch_mm
    is_same = diameter_mm == run.diameter_mm and pitch_mm == run.pitch_mm
    # A prop's load as the current that its torque takes.
    load_a = (current_a - no_load_a) * (1.0 if is_same else _load_by(run, diameter_mm, pitch_mm, guess.pitch_power))
    turning = kv, resistance + run.pack_resistance_ohm, no_load_a, load_a, before_rpm, guess.torque_power
    shaft_rpm = _shaft_rpm(turning, (change.voltage_v or run.voltage_v) + current_a * run.pack_resistance_ohm)
    after_a = load_a * (shaft_rpm / before_rpm) ** guess.torque_power
    if change != _SAME:
        after_a *= guess.current_factor
    if not is_same:
        kept -= guess.slip_shift + guess.slip_bias
    return Outcome(
        shaft_rpm,
        pitch_speed_kmh(shaft_rpm, pitch_mm) * kept,
        no_load_a + after_a,
        # Torque by turning: the constant of torque is that of Kv turned round, so they cancel to volts.
        after_a * shaft_rpm / kv,
    )


def forecast(run: MeasuredRun, change: Change, own: Sequence[OwnRun] = ()) -> Forecast:
    """What `change` would make of `run`, with the 5th and 95th percentile of each figure on its own.

    Refitted to `own`, other props on the same hull, of which those of the measured size and those after the first
    eight are left out. ValueError as of `outcome`.
    """
    others = [one for one in own if (one.diameter_mm, one.pitch_mm) != (run.diameter_mm, run.pitch_mm)][:MOST_OWN]
    guesses = _drawn(_SAMPLES_TO_FIT if others else _SAMPLES)
    weights, middle_guess, fit = _fitted(run, others, guesses)
    middle, slip = outcome(run, change, middle_guess)
    drawn = [_outcome(run, change, guess) for guess in guesses]
    low, high = _ends(drawn, weights)
    return Forecast(middle, low, high, slip, fit)


def _fitted(
    run: MeasuredRun, others: Sequence[OwnRun], guesses: Sequence[Guess]
) -> tuple[list[float], Guess, OwnFit | None]:
    """How much each guess counts, the guess in their middle, and how the other props were met."""
    even = [1.0] * len(guesses)
    if not others:
        return even, Guess(), None
    before = _misses_percent(run, others, Guess())
    # Props that scatter more among themselves than usual tell the less.
    speed_sd = max(_OWN_SPEED_SD, pstdev(before) / 100)
    logs = [_log_likelihood(run, others, guess._replace(slip_shift=0.0), speed_sd) for guess in guesses]
    weights = [math.exp(one - max(logs)) for one in logs]
    is_used = max(logs) > -_BELIEVED * len(others) and _effective(weights) >= _FEWEST_EFFECTIVE
    middle = _mean_guess(guesses, weights) if is_used else Guess()
    left = _misses_percent(run, others, middle._replace(slip_shift=0.0))
    fit = OwnFit(len(others), _mean(before), max(before, key=abs), _mean(left), is_used)
    return weights if is_used else even, middle, fit


def _log_likelihood(run: MeasuredRun, others: Sequence[OwnRun], guess: Guess, speed_sd: float) -> float:
    total = 0.0
    for other in others:
        expected = _outcome(run, Change(other.diameter_mm, other.pitch_mm), guess)
        total -= ((other.speed_kmh / expected.speed_kmh - 1) / speed_sd) ** 2 / 2
        if other.current_a is not None:
            seen_a = full_throttle_current_a(other.current_a, run.full_throttle_share, guess.idle_part)
            total -= ((seen_a / expected.current_a - 1) / _OWN_CURRENT_SD) ** 2 / 2
    return total


def _misses_percent(run: MeasuredRun, others: Sequence[OwnRun], guess: Guess) -> list[float]:
    expected = [_outcome(run, Change(other.diameter_mm, other.pitch_mm), guess) for other in others]
    return [(other.speed_kmh / found.speed_kmh - 1) * 100 for other, found in zip(others, expected, strict=True)]


def _mean(values: Sequence[float]) -> float:
    return math.fsum(values) / len(values)


def _effective(weights: Sequence[float]) -> float:
    """How many samples of equal weight these are worth."""
    return math.fsum(weights) ** 2 / math.fsum(weight * weight for weight in weights)


def _mean_guess(guesses: Sequence[Guess], weights: Sequence[float]) -> Guess:
    total = math.fsum(weights)
    columns = zip(*guesses, strict=True)
    return Guess(*(math.fsum(map(lambda value, weight: value * weight, one, weights)) / total for one in columns))


def _drawn(samples: int) -> list[Guess]:
    """Guesses spread evenly over what is not known: multiples of irrational steps (a Kronecker sequence), shifted by
    dice with a fixed seed. So spread, 512 tell the ends of a range as sharply as 2,000 thrown at random."""
    dice = random.Random(_SEED)
    starts = [dice.random() for _ in _STEPS]
    return [
        _guess(*((start + at * step) % 1 for start, step in zip(starts, _STEPS, strict=True))) for at in range(samples)
    ]


def _guess(*even: float) -> Guess:
    """One guess from eight numbers between 0 and 1, each spread evenly."""
    pitch, torque, idle, shift, bias, kv, resistance, current = even
    return Guess(
        PITCH_POWERS[0] + (PITCH_POWERS[1] - PITCH_POWERS[0]) * pitch,
        _TORQUE_POWERS[0] + (_TORQUE_POWERS[1] - _TORQUE_POWERS[0]) * torque,
        _IDLE_PARTS[0] + (_IDLE_PARTS[1] - _IDLE_PARTS[0]) * idle,
        _HALF_SLIP_SD * _normal(shift),
        _HALF_SLIP_SD * _normal(bias),
        1 + _KV_SD * _normal(kv),
        # A motor is never half or twice as resistive: far draws would only stop the shaft.
        min(1.4, max(0.6, 1 + _RESISTANCE_SD * _normal(resistance))),
        1 + _CURRENT_SD * _normal(current),
    )


def _normal(even: float) -> float:
    return _NORMAL.inv_cdf(min(max(even, 1e-9), 1 - 1e-9))


def _load_by(run: MeasuredRun, diameter_mm: float, pitch_mm: float, pitch_power: float) -> float:
    ratio = (pitch_mm / diameter_mm) / (run.pitch_mm / run.diameter_mm)
    return (diameter_mm / run.diameter_mm) ** 5 * ratio**pitch_power


def _shaft_rpm(turning: tuple[float, float, float, float, float, float], resting_v: float) -> float:
    """Where motor and prop agree: n = Kv (V - R (I0 + I(n))), by Newton's steps from above; `turning` holds Kv,
    resistance, no-load current, the prop's load in A at a shaft speed, that shaft speed, and the power it grows by."""
    kv, resistance, no_load_a, load_a, at_rpm, power = turning
    free_rpm = kv * (resting_v - no_load_a * resistance)
    if free_rpm <= 0:
        raise ValueError("At this voltage the motor does not turn.")
    drop, shaft_rpm = kv * resistance * load_a, free_rpm
    for _ in range(60):
        lost_rpm = drop * (shaft_rpm / at_rpm) ** power
        step = (shaft_rpm + lost_rpm - free_rpm) / (1 + power * lost_rpm / shaft_rpm)
        shaft_rpm -= step
        if abs(step) < 1e-10 * shaft_rpm:
            break
    return shaft_rpm


def _ends(drawn: Sequence[Outcome], weights: Sequence[float]) -> tuple[Outcome, Outcome]:
    """Below and above each figure on its own, what one case in twenty falls outside of."""
    ends = [_weighted(column, weights) for column in zip(*drawn, strict=True)]
    return Outcome(*(low for low, _ in ends)), Outcome(*(high for _, high in ends))


def _weighted(values: Sequence[float], weights: Sequence[float]) -> tuple[float, float]:
    """The values below which a twentieth of the weight lies, and all but a twentieth."""
    ordered = sorted(zip(values, weights, strict=True))
    reached = list(accumulate(weight for _, weight in ordered))
    last = len(ordered) - 1
    low, high = (min(last, bisect_left(reached, share * reached[-1])) for share in (0.05, 0.95))
    return ordered[low][0], ordered[high][0]
