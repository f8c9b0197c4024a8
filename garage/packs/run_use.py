"""What a pack did in one run: current, energy, sag, heat, how near the limit, and the same on a hotter day.

Everything rests on what was written down; what is missing is said, what is assumed stands in the origin.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from garage.calc import pack_use
from garage.calc.ageing.temperature import USUAL_CONSTANT_K, ratio_to_reference
from garage.calc.pack import mean_current_a
from garage.measures import Measure
from garage.packs.series_sag import Share
from garage.reference import temperature_limits

# A hot day's air, for the question what the same run would end at; common practice, no source.
HOT_DAY_C = 35.0
# A log that saw less of a run has too short a way for the energy of the whole; common practice, no source.
_MOST_OF_IT, _HALF_OF_IT = 0.9, 0.5
# Below that a loaded cell is not believed: more likely a dropout, or another supply; common practice, no source.
LEAST_LOADED_V = 2.0


@dataclass(frozen=True)
class RunOnPack:
    """What is written of one run on one pack. `resistance_25_mohm` is the whole pack at
    25 °C, with how it is known. `loaded_v` are the lowest volts of a log that has this pack alone; a log of packs in
    series gives it a `share`; `not_its_own` says why the volts of a log are not told of this pack. `after_v` are
    its resting volts after the run, `logged_wh` what a log of this pack alone made of volts by current."""

    charge_mah: float | None
    duration_s: float | None
    distance_m: float | None
    logged_s: float | None
    start_c: float | None
    air_c: float | None
    after_c: float | None
    rested_v: float | None
    loaded_v: float | None
    cells_s: int
    capacity_mah: float
    mass_g: float | None
    resistance_25_mohm: float | None
    resistance_how: str = ""
    distance_how: str = "as its log measured it"
    share: Share | None = None
    not_its_own: str = ""
    after_v: float | None = None
    logged_wh: float | None = None


@dataclass(frozen=True)
class PackDid:
    """The same worked out; a measure without value has its reason in `missing`."""

    current: Measure
    c_rate: float | None
    energy: Measure
    per_km: Measure
    sag: Measure
    heat_by_current: Measure
    heat_by_rise: Measure
    left: Measure
    hot_day: Measure
    missing: list[str]


def pack_did(run: RunOnPack) -> PackDid:
    """What the pack did in `run`."""
    amps = mean_current_a(run.charge_mah, run.duration_s) if run.charge_mah and run.duration_s else None
    warm = _temperature(run)
    ohms = _resistance_mohm(run, warm)
    energy = _energy(run)
    return PackDid(
        current=Measure(amps, "current", "computed: charge put back by time, the mean of the run"),
        c_rate=pack_use.c_rate(amps, run.capacity_mah) if amps is not None else None,
        energy=energy,
        per_km=_per_km(energy, run),
        sag=_sag(run, amps, ohms),
        heat_by_current=_heat_by_current(run, amps, ohms),
        heat_by_rise=_heat_by_rise(run),
        left=_left(run.after_c),
        hot_day=_hot_day(run),
        missing=_missing(run),
    )


def _ranged(found: pack_use.Range | None, kind: str, origin: str) -> Measure:
    if found is None:
        return Measure(None, kind)
    return Measure(found.value, kind, origin, "", found.low, found.high)


def _energy(run: RunOnPack) -> Measure:
    at_pack = run.loaded_v is not None and run.loaded_v >= LEAST_LOADED_V * run.cells_s
    if run.logged_wh and at_pack and _seen(run) >= _MOST_OF_IT:
        return Measure(run.logged_wh, "energy", "measured: volts by current of the log")
    found = pack_use.energy_wh(run.charge_mah, run.cells_s) if run.charge_mah else None
    return _ranged(found, "energy", "estimated: charge put back, 3.4 to 3.9 V a loaded cell")


def _per_km(energy: Measure, run: RunOnPack) -> Measure:
    if energy.value is None or not run.distance_m or _seen(run) < _HALF_OF_IT:
        return Measure(None, "energy_per_distance")
    km = run.distance_m / 1000
    caution = f"too high: {_seen_words(run)}" if _seen(run) < _MOST_OF_IT else ""
    origin = f"the energy by the distance of the log, {run.distance_how}"
    low, high = (None if end is None else end / km for end in (energy.low, energy.high))
    return Measure(energy.value / km, "energy_per_distance", origin, caution, low, high)


def _seen(run: RunOnPack) -> float:
    """The share of a run that its log saw; 1 where that is not known."""
    if run.logged_s is None or not run.duration_s:
        return 1.0
    return min(run.logged_s / run.duration_s, 1.0)


def _seen_words(run: RunOnPack) -> str:
    return f"the log saw {run.logged_s:.0f} of {run.duration_s:.0f} s"


def _began_c(run: RunOnPack) -> float | None:
    """What the pack began at: as read, else as warm as the air."""
    return run.start_c if run.start_c is not None else run.air_c


def _temperature(run: RunOnPack) -> float | None:
    """The middle of start and end, as far as they are known."""
    known = [one for one in (_began_c(run), run.after_c) if one is not None]
    return sum(known) / len(known) if known else None


def _resistance_mohm(run: RunOnPack, warm_c: float | None) -> float | None:
    if run.resistance_25_mohm is None or warm_c is None:
        return None
    return run.resistance_25_mohm * ratio_to_reference(warm_c, USUAL_CONSTANT_K)


def _sag(run: RunOnPack, amps: float | None, ohms: float | None) -> Measure:
    if run.rested_v is not None and run.loaded_v is not None and _believable(run):
        return _measured_sag(run.rested_v, run.loaded_v, run.after_v)
    if run.share is not None and run.share.value is not None:
        origin = (
            "estimated: its share of the sag that the log has of the packs in series, by their resistances; "
            "what the run took of their charge is in it"
        )
        return Measure(run.share.value, "voltage", origin, "", run.share.low, run.share.high)
    if amps is None or ohms is None:
        return Measure(None, "voltage")
    sag = pack_use.sag_v(amps, ohms)
    # The current of a run swings: at full throttle the sag is well above that of the mean.
    return Measure(sag, "voltage", f"estimated at the mean current, {run.resistance_how}", "", 0.75 * sag, 1.35 * sag)


def _measured_sag(rested_v: float, loaded_v: float, after_v: float | None) -> Measure:
    """A pack rests lower and lower through a run: where its lowest volts were, it would have rested between what it
    rested at before and after."""
    origin = "measured: resting less lowest volts of the log"
    if after_v is None or not loaded_v < after_v <= rested_v:
        return Measure(rested_v - loaded_v, "voltage", f"{origin}; what the run took of its charge is in it")
    origin += " (at least: resting after the run less them)"
    return Measure(rested_v - loaded_v, "voltage", origin, "", after_v - loaded_v, rested_v - loaded_v)


def _believable(run: RunOnPack) -> bool:
    """Whether the lowest volts of a log are this pack's under load."""
    least, rested = LEAST_LOADED_V * run.cells_s, run.rested_v or 0.0
    return run.loaded_v is not None and least <= run.loaded_v < rested


def _heat_by_current(run: RunOnPack, amps: float | None, ohms: float | None) -> Measure:
    if amps is None or ohms is None or run.duration_s is None:
        return Measure(None, "heat")
    heat = pack_use.heat_w(amps, ohms) * run.duration_s / 3600
    origin = f"estimated: I²R of the mean current, {run.resistance_how}; a current that swings makes up to twice that"
    return Measure(heat, "heat", origin, "", 0.8 * heat, 2.0 * heat)


def _heat_by_rise(run: RunOnPack) -> Measure:
    began = _began_c(run)
    if run.mass_g is None or run.after_c is None or began is None or run.after_c <= began:
        return Measure(None, "heat")
    found = pack_use.heat_from_rise_j(run.mass_g, run.after_c - began)
    since = "since the start" if run.start_c is not None else "over the air, assumed for the start"
    scaled = pack_use.Range(found.value / 3600, found.low / 3600, found.high / 3600)
    return _ranged(scaled, "heat", f"estimated: rise {since} × mass × 800 to 1100 J/(kg K), a published band")


def _left(after_c: float | None) -> Measure:
    if after_c is None:
        return Measure(None, "temperature_rise")
    limit_c = temperature_limits()["pack"].limit_c
    caution = "over the limit" if after_c > limit_c else ""
    return Measure(limit_c - after_c, "temperature_rise", f"limit {limit_c:g} °C less the reading", caution)


def _hot_day(run: RunOnPack) -> Measure:
    began = _began_c(run)
    if began is None or run.after_c is None or began >= HOT_DAY_C:
        return Measure(None, "temperature")
    found = pack_use.after_on_another_day_c(began, run.after_c, HOT_DAY_C, USUAL_CONSTANT_K)
    limit_c = temperature_limits()["pack"].limit_c
    caution = f"over {limit_c:g} °C" if found.high > limit_c else ""
    how = f"estimated: the same run begun at {HOT_DAY_C:g} °C"
    return Measure(found.value, "temperature", how, caution, found.low, found.high)


def _missing(run: RunOnPack) -> list[str]:
    wanted: Sequence[tuple[object, str]] = (
        (run.charge_mah or None, "charge put back"),
        (run.duration_s, "how long it ran"),
        (run.after_c, "temperature after"),
        (_began_c(run), "temperature before"),
        (run.mass_g, "mass of the pack"),
        (run.resistance_25_mohm, "a resistance reading by DC"),
    )
    lacking = [words for value, words in wanted if value is None]
    if run.rested_v is not None and run.loaded_v is not None and not _believable(run):
        lacking.append(f"volts of the log that go with it (lowest {run.loaded_v:.2f} V, rested {run.rested_v:.2f} V)")
    why_not = run.share.why if run.share is not None else run.not_its_own
    lacking += [why_not] if why_not else []
    if run.distance_m and _seen(run) < _HALF_OF_IT:
        lacking.append(f"most of the way ({_seen_words(run)})")
    return lacking
