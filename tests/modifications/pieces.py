"""Pieces of work to test with."""

from typing import Any

from garage.modifications.tables import Step


def changed(piece: Step, **fields: Any) -> Step:
    """`piece` with some fields otherwise; a copy of its own."""
    return Step(**{**piece.model_dump(), **fields})


EMPTY = Step(action="cut")
# Brass sheet 8530 kg/m³: Callister, Materials Science and Engineering, app. B.
TABS = changed(
    EMPTY,
    material="Brass, sheet",
    density_kg_m3=8530.0,
    section="sheet",
    width_mm=30.0,
    height_mm=1.0,
    length_mm=40.0,
    count=2,
)
BEND = changed(TABS, action="bend", adds_mass=False)
