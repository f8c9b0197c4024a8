"""What one run says in figures: read from it, or worked out from what was read."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from garage.bench.figures import Figure, figure
from garage.calc.pack import mean_current_a
from garage.calc.track.drive import loaded_shaft_rpm
from garage.logs.pieces.logged_drive import LoggedDrive
from garage.moments import Moment
from garage.packs.tables import Pack
from garage.runs.tables import Run, RunPack
from garage.units import parse_in_unit
from garage.waters.tables import Outing

# Usual volts of a cell over a run, when none were logged: common practice, no source.
_MEAN_CELL_V = 3.7


@dataclass(frozen=True)
class RunFacts:
    """A run, its outing, its packs with their figures, the figures of one motor and the prop on its side, and what a
    log measured. With two motors `packs` are those of one side, or those that both motors share."""

    run: Run
    outing: Outing
    packs: Sequence[tuple[RunPack, Pack, Mapping[str, Figure]]]
    motor: Mapping[str, Figure]
    prop: Mapping[str, Figure]
    motors: int = 1
    logged: LoggedDrive | None = None

    @property
    def shares(self) -> int:
        """How many motors one pack drives: each its own where packs are wired left and right."""
        own = bool(self.packs) and self.packs[0][0].wiring in ("left", "right")
        return 1 if own else max(1, self.motors)


def _run_name(run: Run) -> str:
    return f"run {run.number} of {Moment(run.started_at, run.offset_min).day()}"


def run_figures(facts: RunFacts) -> dict[str, Figure]:
    """Everything about a run that some calculator asks for."""
    run, name = facts.run, _run_name(facts.run)
    told = dict(facts.motor) | dict(facts.prop)
    told |= figure("speed", run.speed_kmh, "km/h", name, run.speed_how or "not said how it was read")
    told |= figure("duration", run.duration_s, "s", name, "as written")
    told |= figure("air_temperature", facts.outing.air_c, "°C", "outing", "air")
    told |= figure("water_temperature", facts.outing.water_c, "°C", "outing", "water")
    if run.duration_s and run.full_throttle_s:
        share = min(1.0, run.full_throttle_s / run.duration_s)
        told |= figure("full_throttle_share", round(share, 4), "", name, "full throttle by duration, as written")
    told |= _pack_side(facts, name)
    return told | _shaft_speed(facts, told) | _motor_side(facts, told, name) | _logged(facts.logged)


def _pack_side(facts: RunFacts, name: str) -> dict[str, Figure]:
    """The packs as one motor sees them: those in series add volts, those in parallel add charge."""
    uses = [use for use, _, _ in facts.packs]
    if not uses:
        return {}
    use, pack, known = facts.packs[0]
    if use.wiring in ("left", "right"):
        name += f", {use.wiring} side"
    told = dict(known) | figure("drive_resistance", _drive_resistance(facts), "mΩ", name, _RESISTANCE_HOW[use.wiring])
    volts = [one.rested_v for one in uses]
    charges = [one.charge_mah for one in uses]
    cells, charge, rested = pack.cells_s, charges[0], volts[0]
    if use.wiring == "series":
        cells = sum(row.cells_s for _, row, _ in facts.packs)
        rested = sum(volt for volt in volts if volt) if all(volts) else None
    elif use.wiring == "parallel":
        charge = sum(one for one in charges if one) if all(charges) else None
        capacities = [row.capacity_measured_mah or row.capacity_mah for _, row, _ in facts.packs]
        told |= figure("capacity", sum(capacities), "mAh", name, "packs in parallel, added")
    told |= figure("charge", charge, "mAh", name, "as the charger says")
    told |= figure("rested_voltage", rested, "V", name, "measured, rested")
    if use.rested_v is not None:
        told |= figure("rested_per_cell", use.rested_v / pack.cells_s, "V", name, "pack by its cells, before the run")
    told |= figure("start_temperature", use.start_temperature_c, "°C", name, "measured at the start")
    told |= figure("mean_voltage", cells * _MEAN_CELL_V, "V", name, "assumed: 3.7 V a cell")
    if charge and facts.run.duration_s:
        current = mean_current_a(charge, facts.run.duration_s)
        told |= figure("mean_current", round(current, 2), "A", name, "mean: charge put back by duration")
        if rested is not None and "drive_resistance" in told:
            resistance_ohm = parse_in_unit(told["drive_resistance"].text, "resistance", "mΩ") / 1000
            loaded = rested - current * resistance_ohm
            how = "rested volts less mean current × resistance of the packs"
            told |= figure("loaded_voltage", round(loaded, 2), "V", name, how)
    if charges[0] and facts.run.duration_s:
        own = round(mean_current_a(charges[0], facts.run.duration_s), 2)
        told |= figure("pack_current", own, "A", f"{name}, pack {pack.code}", "mean: charge put back by duration")
    return told


_RESISTANCE_HOW = {
    "single": "the pack’s cells, as last read",
    "left": "the pack’s cells, as last read",
    "right": "the pack’s cells, as last read",
    "series": "packs in series, added",
    "parallel": "packs in parallel, 1 by the sum of 1 by each",
}


def _drive_resistance(facts: RunFacts) -> float | None:
    """Resistance of all packs as the motors see them, mΩ; None unless each is known."""
    known = [figures.get("pack_resistance") for _, _, figures in facts.packs]
    each = [parse_in_unit(one.text, "resistance", "mΩ") for one in known if one is not None]
    if len(each) < len(known) or not all(each):
        return None
    wiring = facts.packs[0][0].wiring
    if wiring == "series":
        return sum(each)
    return 1 / sum(1 / one for one in each) if wiring == "parallel" else each[0]


def _motor_side(facts: RunFacts, told: Mapping[str, Figure], name: str) -> dict[str, Figure]:
    """What one motor draws, and the part of the pack that is its own where several motors share one."""
    shares, parted = facts.shares, f"{name}: one of {facts.shares} motors on the pack, which share it alike"
    motor_side = {}
    for source, name_, factor in (
        ("mean_current", "motor_current", 1 / shares),
        ("capacity", "motor_capacity", 1 / shares),
        ("drive_resistance", "motor_pack_resistance", shares),
    ):
        if source not in told:
            continue
        number, _, unit = told[source].text.partition(" ")
        origin = f"{told[source].origin}; {parted}" if shares > 1 else told[source].origin
        motor_side[name_] = Figure(f"{float(number) * factor:.6g} {unit}", origin)
    for source in ("loaded_voltage", "full_throttle_share"):
        if source in told:
            motor_side[f"motor_{source}"] = told[source]
    return motor_side


def _logged(logged: LoggedDrive | None) -> dict[str, Figure]:
    """What was measured goes before what was reckoned: a shaft speed with the boat's speed of the same two seconds,
    volts and amps at full throttle."""
    if logged is None:
        return {}
    name = f"log {logged.log}"
    told = figure(
        "logged_rpm", logged.shaft_rpm and round(logged.shaft_rpm), "rpm", name, "measured, mean over two seconds"
    )
    if told:
        told = {"shaft_speed": told["logged_rpm"], "basis": Figure("measured", f"{name}: shaft speed logged")}
        told |= figure("speed_at_shaft", round(logged.speed_kmh, 2), "km/h", name, "mean over the same two seconds")
    if logged.voltage_v and logged.current_a:
        told |= figure("motor_loaded_voltage", round(logged.voltage_v, 2), "V", name, "measured, mean over two seconds")
        told |= figure("motor_current", round(logged.current_a, 2), "A", name, "measured, mean over two seconds")
        told["motor_full_throttle_share"] = Figure("1", f"{name}: the current is that of full throttle, not a mean")
    return told


def _shaft_speed(facts: RunFacts, told: Mapping[str, Figure]) -> dict[str, Figure]:
    """What a loaded motor turns at by Kv and rested volts: an apparent shaft speed, and said to be one."""
    at_shaft = {"speed_at_shaft": told["speed"]} if "speed" in told else {}
    if "kv" not in told or "rested_voltage" not in told:
        return at_shaft
    kv = parse_in_unit(told["kv"].text, "kv", "rpm/V")
    volts = parse_in_unit(told["rested_voltage"].text, "voltage", "V")
    low, middle, high = loaded_shaft_rpm(kv, volts, told["kv"].origin.endswith("measured"))
    how = f"Kv × rested volts as a loaded motor turns, {low:.0f} to {high:.0f} rpm, the middle: apparent, not logged"
    return (
        at_shaft
        | figure("shaft_speed", round(middle), "rpm", _run_name(facts.run), how)
        | {"basis": Figure("apparent", "the shaft speed was not logged")}
    )
