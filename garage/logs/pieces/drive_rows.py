"""What the page of a piece says about the drive: slip, power, energy, each with what it was computed from."""

from __future__ import annotations

from sqlmodel import Session

from garage.calc.track.drive import Slip, apparent_slip, load_of, mean_between, measured_slip, pack_resistance
from garage.calc.track.measure import Looked
from garage.logs.pieces.drive_facts import drive_facts
from garage.measures import Measure
from garage.runs.tables import Run

_KMH = 3.6


def drive_rows(session: Session, looked: Looked, made: Run | None) -> tuple[list[tuple[str, Measure]], list[str]]:
    """Slip, power and energy, each with what it was computed from; and in words what could not be had."""
    rows: list[tuple[str, Measure]] = []
    said: list[str] = []
    top, track = looked.measures.top, looked.track
    if made is not None and top is not None:
        facts = drive_facts(session, made)
        rpm = mean_between(track, "shaft_rpm", top.start_s, top.end_s)
        volts = mean_between(track, "voltage_v", top.start_s, top.end_s)
        speed = top.speed_ms * _KMH
        if facts.pitch_mm is None:
            said.append("No slip: the pitch of the prop is not known.")
        elif rpm:
            rows += _slip_row(
                "Slip (measured shaft speed)",
                measured_slip(speed, rpm, facts.pitch_mm),
                f"mean over two seconds, {rpm:.0f} rpm from the log, pitch {facts.pitch_mm:g} mm",
            )
        elif facts.kv_rpm_v is None or (volts or facts.volts) is None:
            said.append("No slip: the log has no shaft speed, and Kv or volts are not known.")
        else:
            used, words = (volts, "volts from the log") if volts else (facts.volts, facts.volts_from)
            kv = "Kv measured" if facts.kv_measured else "Kv as stated, within 10 %"
            rows += _slip_row(
                "Apparent slip (Kv and volts)",
                apparent_slip(speed, facts.kv_rpm_v, used or 0, facts.pitch_mm, facts.kv_measured),
                f"mean over two seconds, {kv}, {words} ({used:.1f} V), loaded motor at 80 to 92 % of Kv times volts",
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
                "below zero: pitch, Kv or volts are not what is written" if found.high < 0 else "",
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
