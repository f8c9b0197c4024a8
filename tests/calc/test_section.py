"""Areas of sections and the mass of strips, against published figures and plain geometry."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garage.calc.section import (
    SECTIONS,
    section_area_mm2,
    strip_mass_g,
    strip_volume_mm3,
)
from tests.densities import laminate_density_kg_m3, wood_density_kg_m3
from tests.published import holds, named, value

A_SIZE = st.floats(min_value=0.1, max_value=1000)


@pytest.mark.parametrize(("check", "name"), named("MAT-01", "rho"))
def test_wood_density_from_specific_gravity(check, name):
    """USDA Wood Handbook, chapter 4; G of spruce, basswood, white pine, balsa at 12 %."""
    assert holds([wood_density_kg_m3(gravity, 12) for gravity in (0.40, 0.37, 0.35, 0.16)], check, name)


@pytest.mark.parametrize(("check", "name"), named("MAT-13", "m"))
def test_mass_of_a_part_from_its_dimensions(check, name):
    area_mm2 = section_area_mm2("rectangle", width_mm=20, height_mm=3)
    assert holds(strip_mass_g(area_mm2, 500, 448), check, name)


@pytest.mark.parametrize(("check", "name"), named("MAT-06", "glass", "carbon"))
def test_laminate_density_by_the_rule_of_mixtures(check, name):
    """Fibres after Callister, table 16.4, from memory: E-glass 2580, carbon 1780; epoxy 1150 kg/m³."""
    fibre = {"glass": 2580, "carbon": 1780}[name]
    assert holds([laminate_density_kg_m3(share, fibre, 1150) for share in (0.3, 0.5, 0.6)], check, name)


@pytest.mark.parametrize(("check", "name"), named("MAT-07", "m"))
def test_mass_of_a_glass_layer_from_thickness_and_mixture(check, name):
    """163 g/m² cloth at 45 % fibre by mass: thickness and share of the check give its mass per area."""
    density = laminate_density_kg_m3(value(check, "Vf"), 2580, 1150)
    layer = section_area_mm2("sheet", width_mm=1000, height_mm=value(check, "thickness"))
    assert holds(strip_mass_g(layer, 1000, density), check, name)


@pytest.mark.parametrize(
    ("density_kg_m3", "grams_per_metre"),
    [(180, 2.7), (390, 5.9), (414, 6.2), (700, 10.5), (1040, 15.6)],
    ids=lambda value: f"own arithmetic {value}",
)
def test_a_metre_of_strip_of_15_mm2(density_kg_m3, grams_per_metre):
    assert strip_mass_g(15, 1000, density_kg_m3) == pytest.approx(grams_per_metre, abs=0.051)


@pytest.mark.parametrize(
    ("section", "dimensions", "area_mm2"),
    [
        ("rectangle", {"width_mm": 5, "height_mm": 3}, 15),
        ("triangle", {"width_mm": 6, "height_mm": 4}, 12),
        ("round", {"diameter_mm": 4}, 4 * math.pi),
        ("half-round", {"diameter_mm": 4}, 2 * math.pi),
        ("tube", {"diameter_mm": 10, "wall_mm": 1}, math.pi * (5**2 - 4**2)),
        ("tube", {"diameter_mm": 10, "wall_mm": 5}, 25 * math.pi),
        ("sheet", {"width_mm": 30, "height_mm": 1}, 30),
        ("angle", {"width_mm": 10, "height_mm": 10, "wall_mm": 1}, 19),
        ("custom", {"area_mm2": 7.5}, 7.5),
    ],
)
def test_areas_of_plane_geometry(section, dimensions, area_mm2):
    assert section_area_mm2(section, **dimensions) == pytest.approx(area_mm2, rel=1e-12)


@pytest.mark.parametrize("section", SECTIONS)
@settings(derandomize=True, max_examples=50)
@given(size=A_SIZE, scale=st.floats(min_value=0.2, max_value=5))
def test_area_grows_with_the_square_of_the_size(section, size, scale):
    if section == "custom":
        return
    shares = {"width_mm": 1.0, "height_mm": 0.7, "wall_mm": 0.2, "diameter_mm": 1.0}
    small = {name: shares[name] * size for name in SECTIONS[section].needs}
    large = {name: value * scale for name, value in small.items()}
    assert section_area_mm2(section, **large) == pytest.approx(section_area_mm2(section, **small) * scale**2, rel=1e-9)


@settings(derandomize=True)
@given(diameter=A_SIZE, wall_share=st.floats(min_value=0.01, max_value=0.49))
def test_a_tube_and_its_bore_fill_the_round(diameter, wall_share):
    wall = diameter * wall_share
    tube = section_area_mm2("tube", diameter_mm=diameter, wall_mm=wall)
    bore = section_area_mm2("round", diameter_mm=diameter - 2 * wall)
    assert tube + bore == pytest.approx(section_area_mm2("round", diameter_mm=diameter), rel=1e-9)


@settings(derandomize=True)
@given(area=A_SIZE, length=A_SIZE, count=st.integers(1, 50))
def test_pieces_weigh_together_what_they_weigh_apart(area, length, count):
    assert strip_mass_g(area, length, 700, count) == pytest.approx(count * strip_mass_g(area, length, 700))
    assert strip_volume_mm3(area, length, count) == pytest.approx(area * length * count)


@pytest.mark.parametrize("section", SECTIONS)
def test_each_missing_dimension_is_named(section):
    shape = SECTIONS[section]
    for missing in shape.needs:
        rest = {name: 2.0 for name in shape.needs if name != missing}
        with pytest.raises(ValueError, match=f"{shape.words[missing]} is missing"):
            section_area_mm2(section, **rest)


@pytest.mark.parametrize(
    ("section", "dimensions", "message"),
    [
        ("tube", {"diameter_mm": 4, "wall_mm": 2.1}, "half of the diameter"),
        ("angle", {"width_mm": 10, "height_mm": 3, "wall_mm": 3.5}, "shorter leg"),
        ("round", {"diameter_mm": 0}, "more than zero"),
        ("round", {"diameter_mm": -1}, "more than zero"),
        ("round", {"diameter_mm": float("nan")}, "more than zero"),
        ("round", {"diameter_mm": float("inf")}, "more than zero"),
        ("hexagon", {}, "no section"),
    ],
)
def test_impossible_sections_are_refused_in_words(section, dimensions, message):
    with pytest.raises(ValueError, match=message):
        section_area_mm2(section, **dimensions)
