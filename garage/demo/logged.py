"""Logs of some of the demo's runs: GPS files whose boat runs up and down as fast as the run says, and telemetry."""

from __future__ import annotations

import io
import math
import random
from collections.abc import Iterator, Mapping
from contextlib import nullcontext
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import IO, Any

from sqlmodel import Session, col, select

from garage.db.durable import make_folder, written
from garage.demo.names import Names
from garage.demo.simulate import stream
from garage.demo.truth import Truth
from garage.logs.column_store import remember_columns
from garage.logs.gather import course_for
from garage.logs.intake import log_path, read_uploads, take_in
from garage.logs.progress import Reading
from garage.logs.readers.columns import Picked
from garage.logs.readers.delimited import preview
from garage.moments import Moment
from garage.runs.derived_gather import motor_of
from garage.runs.tables import Run, RunPack
from garage.states.store import state

_MOST_PARTS, _MOST_WHOLE = 3, 3
_RATE_HZ = 10
_STRAIGHT_M, _RADIUS_M = 150.0, 14.0
# An invented pond: nobody's, in the middle of a sea.
_LAT, _LON = 54.0, 4.0
_M_BY_LAT, _M_BY_LON = 111_320.0, 65_400.0
_KEPT_IN_TURNS, _PART_THROTTLE = 0.82, 0.7
# A charger reads 1 to 2 % more than was drawn; from memory.
_DRAWN_OF_PUT_BACK = 0.985
_WITH_SHAFT_SPEED = "2026-10-18 4"
# A shaft turns at a quarter of its full speed when the boat hardly moves yet; invented.
_TURNS_AT_REST = 0.25


@dataclass(frozen=True)
class _Written:
    """A file as a form would hand it over."""

    filename: str
    file: IO[bytes]


@dataclass(frozen=True)
class _Sample:
    time_s: float
    lat: float
    lon: float
    speed_ms: float
    turning: bool


@dataclass(frozen=True)
class _Drive:
    """What the telemetry of a run goes by: rested volts, volts lost to the charge drawn by the end, mean current in
    A, resistance in Ω. Without a mean current the currents stay as they come."""

    rested_v: float = 12.3
    fall_v: float = 0.16
    mean_a: float | None = None
    ohm: float = 0.011


def write_logs(session: Session, files_dir: Path, names: Names, truth: Truth) -> None:
    """A log for each of the latest runs that were read off one, and for some whose time is known a log of the whole
    run; the first of either kind with telemetry. One more run has telemetry with the shaft speed."""
    found = (
        select(Run)
        .where(Run.speed_how == "log", Run.ways == "both ways", col(Run.set_aside_at).is_(None))
        .where(col(Run.speed_kmh).is_not(None), Run.start_time_known)
        .order_by(col(Run.started_at).desc())
    )
    latest = session.exec(found.where(col(Run.duration_s).is_(None)).limit(_MOST_PARTS)).all()
    whole = session.exec(found.where(col(Run.duration_s).is_not(None)).limit(_MOST_WHOLE)).all()
    for runs in (latest, whole):
        for place, run in enumerate(runs):
            _write_log(session, files_dir, run, random.Random(run.id), as_table=place == 0)
    turned = session.get_one(Run, names.runs[_WITH_SHAFT_SPEED])
    motor = motor_of(session, state(session, turned.state_id), "single")
    _write_log(session, files_dir, turned, stream(truth, "shaft speed", turned.started_at), as_table=True, motor=motor)


def _write_log(
    session: Session,
    files_dir: Path,
    run: Run,
    draws: random.Random,
    *,
    as_table: bool,
    motor: Mapping[str, Any] | None = None,
) -> None:
    assert run.id is not None and run.speed_kmh is not None
    samples = list(_samples(run.speed_kmh / 3.6, draws, run.duration_s))
    at = Moment(run.started_at, run.offset_min)
    content = _table(samples, _drive(session, run), motor) if as_table else _gpx(samples, run.started_at)
    name = f"{run.started_at[:10]}-run-{run.number}.{'csv' if as_table else 'gpx'}"
    upload = _Written(name, io.BytesIO(content.encode()))
    if as_table:
        _remember(session, files_dir, content, at)
    course_m = course_for(session, run.outing_id)
    with read_uploads(lambda: nullcontext(session), files_dir, [upload], Reading(1)) as files:
        take_in(session, files_dir, files, run.outing_id, run.id, course_m, at)


def _drive(session: Session, run: Run) -> _Drive:
    """The drive of a run by what was read off its pack; of a run not measured yet an invented one."""
    uses = session.exec(select(RunPack).where(RunPack.run_id == run.id)).all()
    use = uses[0]
    if len(uses) > 1 or not (use.rested_v and use.end_v and use.charge_mah and run.duration_s):
        return _Drive()
    drawn_mah = use.charge_mah * _DRAWN_OF_PUT_BACK
    return _Drive(use.rested_v, use.rested_v - use.end_v, 3.6 * drawn_mah / run.duration_s)


def _samples(top_ms: float, draws: random.Random, lasts_s: float | None) -> Iterator[_Sample]:
    """Two rounds of a stadium, begun from rest, slower in the turns; the receiver's speed jitters a little. A run
    that `lasts_s` goes on at part throttle until then."""
    lap = 2 * _STRAIGHT_M + 2 * math.pi * _RADIUS_M
    way, speed, time = 0.0, 0.0, 0.0
    while time < lasts_s if lasts_s else way < 2 * lap:
        east, north, turning = _place(way % lap)
        wanted = top_ms * (_KEPT_IN_TURNS if turning else 1.0) * (1.0 if way < 2 * lap else _PART_THROTTLE)
        step = (7.0 if wanted > speed else 9.0) / _RATE_HZ
        speed += max(-step, min(step, wanted - speed))
        yield _Sample(
            time, _LAT + north / _M_BY_LAT, _LON + east / _M_BY_LON, max(0.0, speed + draws.gauss(0, 0.06)), turning
        )
        way += speed / _RATE_HZ
        time += 1 / _RATE_HZ


def _place(at: float) -> tuple[float, float, bool]:
    bend = math.pi * _RADIUS_M
    if at < _STRAIGHT_M:
        return 0.0, at, False
    if at < _STRAIGHT_M + bend:
        angle = (at - _STRAIGHT_M) / _RADIUS_M
        return _RADIUS_M * (1 - math.cos(angle)), _STRAIGHT_M + _RADIUS_M * math.sin(angle), True
    if at < 2 * _STRAIGHT_M + bend:
        return 2 * _RADIUS_M, 2 * _STRAIGHT_M + bend - at, False
    angle = (at - 2 * _STRAIGHT_M - bend) / _RADIUS_M
    return _RADIUS_M * (1 + math.cos(angle)), -_RADIUS_M * math.sin(angle), True


def _gpx(samples: list[_Sample], started_at: str) -> str:
    start = datetime.strptime(started_at, "%Y-%m-%dT%H:%M:%SZ").replace(tzinfo=UTC)
    points = []
    for one in samples:
        moment = (start + timedelta(seconds=one.time_s)).isoformat(timespec="milliseconds").replace("+00:00", "Z")
        points.append(
            f'<trkpt lat="{one.lat:.8f}" lon="{one.lon:.8f}"><time>{moment}</time>'
            f"<speed>{one.speed_ms:.3f}</speed></trkpt>"
        )
    head = '<?xml version="1.0" encoding="UTF-8"?>\n<gpx version="1.1" creator="demo">'
    return head + "<trk><trkseg>\n" + "\n".join(points) + "\n</trkseg></trk></gpx>\n"


_HEADINGS = ("Time (s)", "Latitude", "Longitude", "Speed (m/s)", "Voltage (V)", "Current (A)", "Controller temp (°C)")
_COLUMNS = {
    "time": Picked(0, "seconds"),
    "latitude": Picked(1, "degrees"),
    "longitude": Picked(2, "degrees"),
    "speed": Picked(3, "m/s"),
    "voltage_v": Picked(4, "V"),
    "current_a": Picked(5, "A"),
    "controller_c": Picked(6, "°C"),
}
_SHAFT_HEADING, _SHAFT_COLUMN = "Shaft speed (rpm)", {"shaft_rpm": Picked(7, "rpm")}


def _table(samples: list[_Sample], drive: _Drive, motor: Mapping[str, Any] | None) -> str:
    """Telemetry; of a `motor` that is given also the shaft speed, by its Kv and resistance at top speed and with the
    boat's speed below it."""
    rows = [",".join((*_HEADINGS, _SHAFT_HEADING) if motor else _HEADINGS)]
    top_ms = max(one.speed_ms for one in samples)
    drawn = [12 + 1.1 * one.speed_ms + (22 if one.turning else 0) for one in samples]
    share = drive.mean_a * len(drawn) / sum(drawn) if drive.mean_a else 1.0
    for one, raw in zip(samples, drawn, strict=True):
        amps = raw * share
        volts = drive.rested_v - drive.ohm * amps - drive.fall_v * one.time_s / samples[-1].time_s
        rows.append(
            f"{one.time_s:.2f},{one.lat:.8f},{one.lon:.8f},{one.speed_ms:.3f},{volts:.3f},{amps:.1f},"
            f"{24 + min(one.time_s, 90) * 0.4:.1f}" + (f",{_rpm(motor, volts, amps, one, top_ms):.0f}" if motor else "")
        )
    return "\n".join(rows) + "\n"


def _rpm(motor: Mapping[str, Any], volts: float, amps: float, one: _Sample, top_ms: float) -> float:
    free_v = volts - amps * motor["resistance_mohm"] / 1000
    return motor["kv_measured"] * free_v * (_TURNS_AT_REST + (1 - _TURNS_AT_REST) * one.speed_ms / top_ms)


def _remember(session: Session, files_dir: Path, content: str, at: Moment) -> None:
    """What each column of the telemetry is, as a person would have picked it once."""
    trial = log_path(files_dir, "0" * 64).with_suffix(".part")
    make_folder(trial.parent)
    with written(trial) as file:
        file.write(content.encode())
    try:
        looked = preview(trial)
    finally:
        trial.unlink()
    columns = _COLUMNS | _SHAFT_COLUMN if _SHAFT_HEADING in looked.headings else _COLUMNS
    remember_columns(session, looked.key, looked.headings, columns, at)
