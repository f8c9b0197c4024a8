"""What is on a boat now, in the few lines that stand at the top of her page."""

from dataclasses import dataclass

from garage.boats.running_mass import running_mass
from garage.hulls.tables import Hull
from garage.measures import Measure
from garage.moments import Moment
from garage.runs.service_due import ServiceDue
from garage.states.content_sheets import ContentSheet, DamageLine, FittedLine, PartLine, SettingLine
from garage.states.fold import short
from garage.states.settings_list import ANGLE, BALANCE, HEIGHT, OWN_GROUP
from garage.states.tables import BuildState

_RUNNING_MASS = "running_mass"


@dataclass(frozen=True)
class AsSheStands:
    """The current build state in short, with the settings that a person added. `number` is None before the first
    state."""

    number: int | None
    mark: str
    fingerprint: str
    since: Moment | None
    running_mass: Measure
    balance: list[SettingLine]
    strut: list[SettingLine]
    own: list[SettingLine]
    motors: list[PartLine]
    fitted: list[FittedLine]
    damage: list[DamageLine]
    service: list[ServiceDue]


def as_she_stands(
    hull: Hull, state: BuildState | None, content: ContentSheet, service: list[ServiceDue]
) -> AsSheStands:
    """The short account of `content`, which is that of `state` with mistakes mended."""
    settings = [line for group in content.settings for line in group.lines]
    weighed = next((line.measures[0] for line in settings if line.key == _RUNNING_MASS and line.measures), None)
    return AsSheStands(
        number=state.number if state else None,
        mark=state.mark if state else "",
        fingerprint=short(state.fingerprint) if state else "",
        since=Moment(state.made_at, state.offset_min) if state else None,
        running_mass=running_mass(weighed, hull.bare_mass_g, content.mass_added),
        balance=[line for line in settings if line.key == BALANCE],
        strut=[line for line in settings if line.key in (HEIGHT, ANGLE)],
        own=[line for group in content.settings if group.name == OWN_GROUP for line in group.lines],
        motors=[line for line in content.parts if line.kind == "motor"],
        fitted=content.fitted,
        damage=content.damage,
        service=service,
    )
