"""What a balance sheet can begin with: the masses that are written down of a boat, without their places."""

from collections.abc import Sequence
from typing import Any

from sqlmodel import Session

from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.packs.store import packs_by_ids
from garage.runs.store import packs_of, runs_listed
from garage.states.fold import Content


def starting_lines(session: Session, hull: Hull, content: Content) -> tuple[list[str], str]:
    """Lines `name;mass;` of a boat in a state, with the packs of her last run; and in words where those are from."""
    packs, packs_from = _packs_of_last_run(session, hull)
    return part_lines(hull.bare_mass_g, content, packs), packs_from


def _packs_of_last_run(session: Session, hull: Hull) -> tuple[list[tuple[str, float | None]], str]:
    last = next((one for one in runs_listed(session, hull_id=hull.id, limit=5) if one.set_aside_at is None), None)
    if last is None or last.id is None:
        return [], ""
    uses = packs_of(session, [last.id]).get(last.id, [])
    packs = packs_by_ids(session, [use.pack_id for use in uses])
    weighed = [(f"pack {packs[use.pack_id].code}", packs[use.pack_id].mass_g) for use in uses]
    day = Moment(last.started_at, last.offset_min).day()
    return weighed, f", packs as in the run of {day}" if any(mass for _, mass in weighed) else ""


def part_lines(
    bare_mass_g: float | None, content: Content, packs: Sequence[tuple[str, float | None]] = ()
) -> list[str]:
    """Parts on a boat and its `packs` as lines `name;mass;`, to be given their places.

    What a modification took off is no part that could stand somewhere: it is taken off the bare hull, and said.
    """
    fitted = [(entry["title"], entry.get("mass_g")) for entry in content.fitted.values()]
    masses: list[tuple[str, Any]] = [
        _hull_left(bare_mass_g, [(title, mass_g) for title, mass_g in fitted if mass_g and mass_g < 0])
    ]
    masses += [
        (f"{entry.get('code', '')} {entry['kind']}".strip(), entry.get("mass_g")) for entry in content.parts.values()
    ]
    masses += [*fitted, *packs]
    return [f"{name.replace(';', ',')};{mass_g:.10g};" for name, mass_g in masses if mass_g and mass_g > 0]


def _hull_left(bare_mass_g: float | None, taken_off: list[tuple[str, float]]) -> tuple[str, float | None]:
    if not bare_mass_g or not taken_off:
        return "bare hull", bare_mass_g
    return f"bare hull less {', '.join(title for title, _ in taken_off)}", bare_mass_g + sum(
        mass_g for _, mass_g in taken_off
    )
