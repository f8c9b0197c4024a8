"""The reference tables: whole, sourced, and true to the published figures."""

import csv
import dataclasses

import pytest

from garage import reference
from garage.paths import SHARED_DIR
from garage.units import parse_quantity
from tests.densities import laminate_density_kg_m3, wood_density_kg_m3
from tests.published import CHECKS, holds, named

TABLES = {
    "materials": reference.materials,
    "adhesives": reference.adhesives,
    "temperature_limits": reference.temperature_limits,
    "class_rules": reference.class_rules,
    "cautions": reference.cautions,
}
# The density of the table that a published one is held against.
MATERIALS = {
    "birch": "birch", "plywood_douglas_fir": "fir_plywood", "EPS": "eps", "XPS": "xps", "Al 6061": "aluminium",
    "Al 7075": "aluminium_7075", "brass C36000": "brass", "brass C26000": "brass_sheet", "stainless 316": "stainless",
    "CuBe C17200/C17000": "copper_beryllium", "steel (range)": "steel", "PLA": "pla", "PETG": "petg", "ABS": "abs",
    "ASA": "asa", "polystyrene sheet": "polystyrene",
}  # fmt: skip


def _named(check_id: str, name: str) -> str:
    return f"{check_id} ({CHECKS[check_id]['expected_origin']}): {name}"


@pytest.mark.parametrize("name", TABLES)
def test_every_row_is_read_and_has_its_own_key(name):
    with (SHARED_DIR / "reference" / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        written = list(csv.DictReader(file))
    rows = TABLES[name]()
    assert [row["key"] for row in written] == list(rows)
    assert all(row.key == key for key, row in rows.items())


@pytest.mark.parametrize("name", TABLES)
def test_every_row_says_where_it_comes_from(name):
    for row in TABLES[name]().values():
        assert len(row.source) > 5, row.key


@pytest.mark.parametrize("name", TABLES)
def test_rows_and_tables_cannot_be_changed(name):
    rows = TABLES[name]()
    with pytest.raises(TypeError):
        rows["new"] = None
    with pytest.raises(dataclasses.FrozenInstanceError):
        next(iter(rows.values())).source = "elsewhere"


def test_tables_are_read_once():
    assert reference.materials() is reference.materials()


@pytest.mark.parametrize(
    ("check", "name"),
    [
        *named("MAT-02", "birch", "plywood_douglas_fir", "EPS", "XPS"),
        *named(
            "MAT-04", "Al 6061", "Al 7075", "brass C36000", "brass C26000", "stainless 316", "CuBe C17200/C17000",
            "steel (range)",
        ),
        *named("MAT-05", "PLA", "PETG", "ABS", "ASA", "polystyrene sheet"),
    ],
)  # fmt: skip
def test_densities_against_published_tables(check, name):
    assert holds(reference.materials()[MATERIALS[name]].density_kg_m3, check, name)


@pytest.mark.parametrize(
    ("key", "place"),
    [
        pytest.param(key, place, id=_named("MAT-01", key))
        for place, key in enumerate(("spruce", "basswood", "white_pine", "balsa"))
    ],
)
def test_wood_densities_against_specific_gravity_at_12_percent(key, place):
    expected = CHECKS["MAT-01"]["expected"]["rho"]
    assert reference.materials()[key].density_kg_m3 == pytest.approx(expected["value"][place])
    gravity = reference.materials()[key].source.split("specific gravity ")[1].split()[0]
    assert wood_density_kg_m3(float(gravity), 12) == pytest.approx(expected["value"][place])


@pytest.mark.parametrize(
    ("key", "name", "fibre"),
    [
        pytest.param("glass_epoxy", "glass", 2580, id=_named("MAT-06", "glass")),
        pytest.param("carbon_epoxy", "carbon", 1780, id=_named("MAT-06", "carbon")),
    ],
)
def test_laminates_against_the_rule_of_mixtures(key, name, fibre):
    density = reference.materials()[key].density_kg_m3
    assert density == pytest.approx(CHECKS["MAT-06"]["expected"][name]["value"][0])
    assert density == pytest.approx(laminate_density_kg_m3(0.3, fibre, 1150))


def test_balsa_lies_within_its_published_range_and_says_so():
    """MAT-03 (outside, seen): Borrega and Gibson 2015, abstract."""
    least, most = (CHECKS["MAT-03"]["expected"][end]["value"] for end in ("min", "max"))
    balsa = reference.materials()["balsa"]
    assert least < balsa.density_kg_m3 < most
    assert f"{least} to {most}" in balsa.note


def test_strake_rules_name_width_depth_direction_and_rule():
    rules = reference.class_rules()
    assert rules["strake_width"].limit == parse_quantity("3/4 in", "length")
    assert rules["strake_depth"].limit == parse_quantity("5/16 in", "length")
    assert rules["strake_depth_large"].limit == parse_quantity("1/2 in", "length")
    assert "Parallel to the keel" in rules["strake_parallel_aft"].text
    assert all(rule.rule for rule in rules.values())


def test_temperature_limits_are_for_known_places_and_sides():
    limits = reference.temperature_limits().values()
    assert {limit.place for limit in limits} == {"pack", "motor end bell", "controller", "wires and plugs"}
    assert {limit.side for limit in limits} == {"above", "below"}
    assert reference.temperature_limits()["pack"].limit_c == 60


def test_the_dangers_of_the_trade_are_all_spoken_of():
    assert {"packs", "hurt pack", "workshop", "water"} == {caution.where for caution in reference.cautions().values()}
    for key in ("lipo_charging", "spinning_prop", "ca_glue", "wood_dust", "beryllium_dust", "cold_water"):
        assert reference.cautions()[key].text


def test_checks_used_by_the_tests_say_how_far_they_can_be_trusted():
    for check in CHECKS.values():
        assert check["expected_origin"] and check["source"]["title"]
