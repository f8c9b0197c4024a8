"""Slip of a run by the shaft speed that its log measured."""

from sqlmodel import Session

from garage.calc.prop import pitch_speed_kmh, slip
from garage.logs.pieces.drive_facts import drive_facts
from garage.logs.pieces.logged_drive import logged_drive, with_shaft_speed
from garage.measures import Measure
from garage.runs.derived import slip_caution
from garage.runs.store import run


def slip_of_run(session: Session, run_id: int) -> list[tuple[str, Measure]]:
    """Pitch speed and slip over the best 2 s of a run's fastest piece with a shaft speed in it, by name.

    Nothing without such a log, or where the pitch is not known. A log has one shaft speed: of several props the first
    whose pitch is known is taken, and named.
    """
    if not with_shaft_speed(session, [run_id]):
        return []
    logged, facts = logged_drive(session, run_id), drive_facts(session, run(session, run_id))
    if logged is None or not logged.shaft_rpm or facts.pitch_mm is None:
        return []
    pitch_speed = pitch_speed_kmh(logged.shaft_rpm, facts.pitch_mm)
    share = slip(logged.speed_kmh, pitch_speed)
    turned = f"{logged.shaft_rpm:.0f} rpm measured in log {logged.log}, mean over two seconds"
    return [
        ("Pitch speed (measured shaft speed)", Measure(pitch_speed, "speed", f"{turned}, × pitch of {facts.prop}")),
        (
            "Slip (measured shaft speed)",
            Measure(share * 100, "percent", "1 less speed of the same 2 s by that pitch speed", slip_caution(share)),
        ),
    ]
