"""What follows from a run by physics: slip, C-rate, heat. The same functions that the bench computes with."""

from dataclasses import dataclass

from garage.calc import pack, prop
from garage.calc.track import drive
from garage.measures import Measure

# A shaft that turns faster than a model's can, or slip beyond this, tells of a wrong figure rather than of the boat.
_MOST_PLAUSIBLE_SLIP = 0.5
_HOT_RISE_K = 35.0


@dataclass(frozen=True)
class PackLook:
    """One pack in one run, as far as known; `cell_mohm` is the mean of the cells in its latest earlier reading."""

    code: str
    cells_s: int
    capacity_mah: float
    mass_g: float | None
    rested_v: float | None
    charge_mah: float | None
    cell_mohm: float | None


@dataclass(frozen=True)
class RunLook:
    """What slip needs: one side of the boat. `kv_how` says whether Kv was measured or stated."""

    speed_kmh: float | None
    duration_s: float | None
    diameter_mm: float | None
    pitch_mm: float | None
    kv_rpm_v: float | None
    kv_how: str
    motor_volts: float | None


def slip_caution(share: float) -> str:
    """What to look at when slip, as a fraction, is not likely; "" when it is."""
    if share < 0:
        return "faster than its pitch: look at pitch, shaft speed and speed"
    return "more than half: look at pitch, shaft speed and speed" if share > _MOST_PLAUSIBLE_SLIP else ""


def slip_lines(look: RunLook, side: str = "") -> list[tuple[str, Measure]]:
    """Pitch speed and apparent slip with their ranges, where prop, Kv and rested volts are known; `side` of a boat with
    two screws."""
    which = f", {side}" if side else ""
    if not (look.pitch_mm and look.kv_rpm_v and look.motor_volts):
        return []
    shaft = drive.loaded_shaft_rpm(look.kv_rpm_v, look.motor_volts, look.kv_how == "measured")
    low, middle, high = (prop.pitch_speed_kmh(rpm, look.pitch_mm) for rpm in shaft)
    kv_how = "measured" if look.kv_how == "measured" else f"{look.kv_how}, within {drive.KV_ERROR * 100:.0f} %"
    shares = " to ".join(f"{share * 100:.0f}" for share in drive.LOADED_SHARE)
    how = f"{shares} % of Kv ({kv_how}) × rested volts, as a loaded motor turns, × pitch: not logged"
    lines = [(f"Pitch speed (Kv and volts){which}", Measure(middle, "speed", how, low=low, high=high))]
    if look.speed_kmh is not None:
        least, slip, most = (prop.slip(look.speed_kmh, pitch_speed) for pitch_speed in (low, middle, high))
        found = Measure(
            slip * 100, "percent", "1 less speed by that pitch speed", slip_caution(slip), least * 100, most * 100
        )
        lines.append((f"Apparent slip (Kv and volts){which}", found))
    return lines


def pack_lines(duration_s: float | None, look: PackLook) -> list[tuple[str, Measure]]:
    """Mean C-rate, and the heat of the mean current in the pack's own resistance."""
    if not (duration_s and look.charge_mah):
        return []
    current = pack.mean_current_a(look.charge_mah, duration_s)
    rate = Measure(current * 1000 / look.capacity_mah, "c_rate", "mean current by capacity")
    lines = [(f"C-rate of the mean, {look.code}", rate)]
    if look.cell_mohm is not None:
        heat = current**2 * look.cell_mohm * look.cells_s / 1000
        how = "mean current² × resistance as last read: the least, since peaks heat more"
        lines.append((f"Heat in {look.code}", Measure(heat, "power", how)))
        if look.mass_g:
            rise = pack.temperature_rise_k(heat, duration_s, look.mass_g / 1000)
            caution = "warm: start no warmer than the air, and feel the pack" if rise > _HOT_RISE_K else ""
            made = Measure(rise, "temperature_rise", "that heat in its mass, none lost, 1000 J/(kg K)", caution)
            lines.append((f"{look.code}, warmer by it by", made))
    return lines
