"""What a log says about the drive: slip, power, energy, and the pack's resistance if it can be told at all."""

from __future__ import annotations

from dataclasses import dataclass

from garage.calc.arrays import np
from garage.calc.prop import pitch_speed_kmh, slip
from garage.calc.track.track import Track

# A motor under load turns at this share of Kv times volts (computed from association bench tests and a forum's
# 1800 Kv on 4S turning a 45 mm prop); a stated Kv is off by 5 to 10 % (from memory).
LOADED_SHARE = (0.80, 0.92)
KV_ERROR = 0.10
_LEAST_SPREAD_A = 5.0
_LOWER_SHARE = 0.7
_MOST_BEND = 2.0


@dataclass(frozen=True)
class Slip:
    """Slip in percent and its range; `speed_kmh` and `rpm` are what it was computed from."""

    percent: float
    low: float
    high: float
    speed_kmh: float
    rpm: float


def measured_slip(speed_kmh: float, shaft_rpm: float, pitch_mm: float) -> Slip | None:
    """Slip from a measured shaft speed; a single value, since pitch and speed carry their own errors. None if
    the shaft stood still."""
    if shaft_rpm <= 0 or pitch_mm <= 0:
        return None
    percent = 100 * slip(speed_kmh, pitch_speed_kmh(shaft_rpm, pitch_mm))
    return Slip(percent, percent, percent, speed_kmh, shaft_rpm)


def apparent_slip(
    speed_kmh: float, kv_rpm_v: float, loaded_v: float, pitch_mm: float, kv_measured: bool
) -> Slip | None:
    """Slip from Kv and volts, which swallows how far the motor sags: so it has a range, from the share of Kv times
    volts that a loaded motor turns at and, unless it was measured, from the error of a stated Kv."""
    if kv_rpm_v <= 0 or loaded_v <= 0 or pitch_mm <= 0:
        return None
    slowest, middle, fastest = loaded_shaft_rpm(kv_rpm_v, loaded_v, kv_measured)

    def percent(rpm: float) -> float:
        return 100 * slip(speed_kmh, pitch_speed_kmh(rpm, pitch_mm))

    return Slip(percent(middle), percent(slowest), percent(fastest), speed_kmh, middle)


def loaded_shaft_rpm(kv_rpm_v: float, loaded_v: float, kv_measured: bool) -> tuple[float, float, float]:
    """Lowest, middle and highest shaft speed in rpm that a loaded motor may turn at, by Kv and volts: `LOADED_SHARE` of
    their product, and wider by `KV_ERROR` unless Kv was measured."""
    error, no_load = 0.0 if kv_measured else KV_ERROR, kv_rpm_v * loaded_v
    middle = no_load * sum(LOADED_SHARE) / 2
    return no_load * LOADED_SHARE[0] * (1 - error), middle, no_load * LOADED_SHARE[1] * (1 + error)


def mean_between(track: Track, channel: str, start_s: float, end_s: float) -> float | None:
    """The mean of a channel from `start_s` to `end_s`; None if nothing was recorded then."""
    values = track.channels.get(channel)
    if values is None:
        return None
    inside = (track.time_s >= start_s - 1e-6) & (track.time_s <= end_s + 1e-6) & np.isfinite(values)
    return float(values[inside].mean()) if inside.any() else None


@dataclass(frozen=True)
class Load:
    """Extremes and sums of a log's electrical channels; None where a channel is missing."""

    lowest_v: float | None
    mean_a: float | None
    peak_a: float | None
    mean_w: float | None
    peak_w: float | None
    energy_wh: float | None
    charge_mah: float | None
    top_rpm: float | None


def load_of(track: Track) -> Load:
    """What the drive drew. Sums bridge no gap longer than 2 s."""
    volts, amps, rpm = (track.channels.get(name) for name in ("voltage_v", "current_a", "shaft_rpm"))
    power = volts * amps if volts is not None and amps is not None else None

    def largest(values: np.ndarray | None) -> float | None:
        return float(np.nanmax(values)) if values is not None and np.isfinite(values).any() else None

    energy, seconds = _summed(track.time_s, power)
    charge, charge_seconds = _summed(track.time_s, amps)
    return Load(
        lowest_v=float(np.nanmin(volts)) if volts is not None and np.isfinite(volts).any() else None,
        mean_a=charge / charge_seconds if charge is not None and charge_seconds else None,
        peak_a=largest(amps),
        mean_w=energy / seconds if energy is not None and seconds else None,
        peak_w=largest(power),
        energy_wh=energy / 3600 if energy is not None else None,
        charge_mah=charge / 3.6 if charge is not None else None,
        top_rpm=largest(rpm),
    )


def lowest_under_load_v(track: Track) -> float | None:
    """The lowest voltage of a log in V, each sample taken as the middle of itself and its two neighbours: a
    lone dropout of the sender is no sag. None for fewer than three samples with a voltage."""
    volts = track.channels.get("voltage_v")
    known = volts[np.isfinite(volts)] if volts is not None else ()
    if len(known) < 3:
        return None
    return float(np.median([known[:-2], known[1:-1], known[2:]], axis=0).min())


def _summed(time_s: np.ndarray, values: np.ndarray | None) -> tuple[float | None, float]:
    if values is None:
        return None, 0.0
    known = np.isfinite(values) & np.isfinite(time_s)
    time, value = time_s[known], values[known]
    gaps = np.diff(time)
    near = (gaps > 0) & (gaps <= 2.0)
    if not near.any():
        return None, 0.0
    return float((((value[1:] + value[:-1]) / 2) * gaps)[near].sum()), float(gaps[near].sum())


@dataclass(frozen=True)
class Resistance:
    """A pack's resistance by how its voltage gives way to current; None with the reason in `why_not`."""

    milliohm: float | None
    why_not: str = ""


def pack_resistance(track: Track) -> Resistance:
    """The slope of voltage over current, wires included.

    A supply at its limit holds the current and lets the voltage fall: that is no resistance, so a log in which
    voltage falls at the highest current far below the line of the lower currents has none.
    """
    volts, amps = track.channels.get("voltage_v"), track.channels.get("current_a")
    if volts is None or amps is None:
        return Resistance(None, "the log has no voltage and current side by side")
    known = np.isfinite(volts) & np.isfinite(amps)
    volts, amps = volts[known], amps[known]
    if len(amps) < 4 or float(np.ptp(amps)) < _LEAST_SPREAD_A:
        return Resistance(None, "the current hardly varies")
    lower = amps <= _LOWER_SHARE * float(amps.max())
    if lower.sum() < 3 or float(np.ptp(amps[lower])) <= 0:
        return Resistance(None, "the current hardly varies")
    slope, start = np.polyfit(amps[lower], volts[lower], 1)
    fallen = (start - volts)[~lower]
    expected = np.maximum(-slope * amps[~lower], 0.02)
    if float((fallen / expected).max()) > _MOST_BEND:
        return Resistance(None, "the voltage breaks down at one highest current: a supply or a limiter, not the pack")
    if slope >= 0:
        return Resistance(None, "the voltage does not fall with the current")
    return Resistance(float(-np.polyfit(amps, volts, 1)[0]) * 1000)
