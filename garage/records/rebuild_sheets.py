"""The rebuild sheet: everything it takes to have the same boat on the water, and how she differs now."""

import json
from dataclasses import dataclass

from garage.corrections.sheets import Mended
from garage.measures import Measure
from garage.moments import Moment
from garage.own_fields.at_hand import own_words
from garage.photos.sheets import AttachedItem
from garage.props.sheets import EditionView, edition_view
from garage.records.rebuild_store import PackThen, PropThen
from garage.runs.lines.line import RunLine
from garage.runs.tables import RunTemperature
from garage.states.sheets import StateSheet
from garage.states.wording import Difference
from garage.units import DisplayUnits
from garage.waters.tables import Outing


@dataclass(frozen=True)
class PropSheet:
    """A prop as it was in the run."""

    id: int
    place: str
    code: str
    printed_name: str
    blades: int
    hand: str
    material: str
    edition: EditionView
    own: list[tuple[str, str]]


@dataclass(frozen=True)
class PackSheet:
    """A pack as it was in the run."""

    id: int
    text: str
    wiring: str
    standing: str
    retire: str
    start_temperature: Measure
    rested: Measure
    charge_back: Measure
    end: Measure
    cells_after: list[Measure]
    own: list[tuple[str, str]]


@dataclass(frozen=True)
class TemperatureSheet:
    """One reading after the run; `rise` is over the air, if that was read."""

    spot: str
    reading: Measure
    rise: Measure
    after: Measure


@dataclass(frozen=True)
class RebuildSheet:
    """One run with the state, props, packs and conditions it was made in; `different` tells what is so now.

    `now_number` is None if she has no state that stands.
    """

    run: RunLine
    made: str
    conditions: str
    notes: list[tuple[str, str]]
    state: StateSheet
    props: list[PropSheet]
    packs: list[PackSheet]
    temperatures: list[TemperatureSheet]
    service: list[str]
    photos: list[AttachedItem]
    mended: list[Mended]
    now_number: int | None
    different: list[Difference]
    since: list[str]
    printed_on: Moment


def prop_sheet(then: PropThen, units: DisplayUnits) -> PropSheet:
    """One prop."""
    prop = then.prop
    return PropSheet(
        prop.id,
        then.place,
        prop.code,
        prop.printed_name,
        prop.blades,
        prop.hand,
        prop.material,
        edition_view(then.edition),
        own_words("prop", prop, units),
    )


def pack_sheet(then: PackThen, units: DisplayUnits) -> PackSheet:
    """One pack."""
    use = then.use
    return PackSheet(
        use.pack_id,
        then.text.text,
        "" if use.wiring == "single" else use.wiring,
        f"{then.then.text}, {then.then.discharges} discharge{'' if then.then.discharges == 1 else 's'} before this run",
        then.retire,
        Measure(use.start_temperature_c, "temperature", "read at the start"),
        Measure(use.rested_v, "voltage", "rested, at the start"),
        Measure(use.charge_mah, "charge", "put back by the charger"),
        Measure(use.end_v, "voltage", "after the run"),
        [Measure(volts, "voltage") for volts in json.loads(use.volts_after or "[]")],
        own_words("pack", then.pack, units),
    )


def temperature_sheet(row: RunTemperature, outing: Outing) -> TemperatureSheet:
    """One reading after the run."""
    rise = row.temperature_c - outing.air_c if outing.air_c is not None else None
    place = "" if row.place == "single" else f", {row.place}"
    return TemperatureSheet(
        row.spot + place,
        Measure(row.temperature_c, "temperature", "read after the run"),
        Measure(rise, "temperature_rise", "above the air"),
        Measure(row.seconds_after, "time_after", "after the stop"),
    )


def since_then(props: list[PropThen], packs: list[PackThen], latest_props: str, own_props: str) -> list[str]:
    """What else is different now: props reworked or changed, packs aged, damaged or retired."""
    said = []
    for then in props:
        code = then.prop.code
        if then.newest != then.edition.number:
            said.append(f"Prop {code} was edition {then.edition.number} then; it is edition {then.newest} now.")
        if then.prop.retired_on:
            said.append(f"Prop {code} is retired.")
    if latest_props and latest_props != own_props:
        said.append(f"Her latest run was made with {latest_props}.")
    for pack in packs:
        more = pack.now.discharges - pack.then.discharges
        if more > 0:
            since = "discharge since, that of this run" if more == 1 else "discharges since, this run’s own among them"
            said.append(f"Pack {pack.text.code} was {pack.then.text} then and has had {more} more {since}.")
        if pack.damage:
            said.append(f"Pack {pack.text.code} is noted as damaged: {pack.damage}.")
        if pack.retire:
            said.append(f"Pack {pack.text.code}, {pack.retire}.")
        if pack.retired_on:
            said.append(f"Pack {pack.text.code} is retired.")
    return said
