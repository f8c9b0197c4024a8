"""Pieces of work to test with."""

from dataclasses import replace

from garage.modifications.step_forms import StepDraft

EMPTY = StepDraft(
    action="cut",
    what="",
    material="",
    density_kg_m3=None,
    section="",
    width_mm=None,
    height_mm=None,
    wall_mm=None,
    diameter_mm=None,
    area_mm2=None,
    length_mm=None,
    count=1,
    adds_mass=True,
    adhesive="",
    cure_h=None,
    cure_temperature_c=None,
    finish="",
    coats=None,
    minutes_spent=None,
    mass_weighed_g=None,
    note="",
)
# Brass sheet 8530 kg/m³: Callister, Materials Science and Engineering, app. B.
TABS = replace(
    EMPTY,
    material="Brass, sheet",
    density_kg_m3=8530.0,
    section="sheet",
    width_mm=30.0,
    height_mm=1.0,
    length_mm=40.0,
    count=2,
)
BEND = replace(TABS, action="bend", adds_mass=False)
