"""Water, air, and planing on it."""

from collections.abc import Mapping
from typing import Any

from garage.bench.calculators import common
from garage.bench.definition import USUAL, Answer, Calculator, Example, Input, Result, Value, out_of_range
from garage.calc import air, planing, water

_GROUP = "Water and air"
_KMH = 3.6
_DENSITY_15_C = "999.1"
_VISCOSITY_15_C = "1.1386e-6"


def _water(given: Mapping[str, Any]) -> Answer:
    sea, at = given["salinity"] == "sea", given["temperature"]
    cautions = out_of_range("The temperature", at, 0, 40, "°C")
    if sea:
        cautions += (f"Sea water of {water.SEA_SALINITY_G_KG:g} g/kg; brackish water lies between.",)
    if at < 15:
        cautions += ("Below 15 °C cold-water shock takes the breath: never wade or swim for a boat.",)
    density, viscosity = water.density_kg_m3(at, sea), water.kinematic_viscosity_m2_s(at, sea)
    return Answer({"density": density, "kinematic_viscosity": viscosity}, cautions)


def _air(given: Mapping[str, Any]) -> Answer:
    cautions = out_of_range("The temperature", given["temperature"], 5, 35, "°C")
    cautions += out_of_range("The pressure", given["pressure"], 900, 1100, "hPa")
    density = air.air_density_kg_m3(given["temperature"], given["pressure"], given["humidity"])
    return Answer({"density": density}, cautions)


def _planing(given: Mapping[str, Any]) -> Answer:
    hull = planing.Hull(
        *(given[name] for name in ("mass", "beam", "deadrise", "lcg", "vcg", "shaft_angle", "thrust_offset"))
    )
    where = planing.Water(
        given["density"],
        given["kinematic_viscosity"],
        given["gravity"],
        given["friction_line"],
        given["allowance"],
    )
    speed = given["speed"]
    lift = planing.lift_coefficient(hull.mass_kg, hull.beam_m, speed, where)
    coefficient = planing.speed_coefficient(speed, hull.beam_m, where.gravity_m_s2)
    found = planing.equilibrium(hull, speed, where)
    limits = _limits_passed(hull, lift, coefficient, found)
    porpoising = planing.porpoising_trim_deg(lift, hull.deadrise_deg)
    results: dict[str, Value] = {
        "trim": found.trim_deg if found else None,
        "mean_wetted_length_ratio": found.wetted_ratio if found else None,
        "keel_wetted_length": found.keel_wetted_m if found else None,
        "chine_wetted_length": max(0.0, found.chine_wetted_m) if found else None,
        "lift_coefficient": lift,
        "speed_coefficient": coefficient,
        "friction_coefficient": found.friction_coefficient if found else None,
        "drag": found.drag_n if found else None,
        "power": found.drag_n * speed if found else None,
        "porpoising_trim": porpoising,
        "in_range": not limits,
        "equilibrium": found is not None,
        "chart_from": planing.speed_at_chart_x_ms(planing.PORPOISING_CHART[1], hull.mass_kg, hull.beam_m, where) * _KMH,
        "chart_to": planing.speed_at_chart_x_ms(planing.PORPOISING_CHART[0], hull.mass_kg, hull.beam_m, where) * _KMH,
    }
    cautions = [f"Outside the range of the method: {limit}." for limit in limits]
    if found is None:
        cautions.insert(0, "No equilibrium: at no trim from 0.05 to 30° do the moments balance.")
    elif found.chine_wetted_m < 0:
        cautions.append("The chines are dry at this trim, which the method’s mean wetted length does not foresee.")
    if found and porpoising is not None and found.trim_deg >= porpoising:
        cautions.append("The trim is above the porpoising limit: expect her to porpoise.")
    # Outside its range a method's figure is no answer: what stands large is that it is outside.
    headline = "equilibrium" if found is None else "in_range" if limits else ""
    return Answer(results, tuple(cautions), headline)


def _limits_passed(hull: planing.Hull, lift: float, coefficient: float, found: planing.Attitude | None) -> list[str]:
    """Every published limit that the case lies outside of, in words."""
    low, high = planing.SPEED_COEFFICIENTS
    passed = []
    if not low <= coefficient <= high:
        passed.append(f"speed coefficient {coefficient:.2f}, which must be {low:g} to {high:g}")
    if found is None:
        passed.append("no equilibrium")
    else:
        least, most = planing.TRIMS_DEG
        if not least <= found.trim_deg <= most:
            passed.append(f"trim {found.trim_deg:.2f}°, which must be {least:g} to {most:g}°")
        if found.wetted_ratio > planing.LONGEST_WETTED_RATIO:
            passed.append(f"wetted length ratio {found.wetted_ratio:.2f}, which must be at most 4")
    x = planing.porpoising_chart_x(lift)
    if not planing.PORPOISING_CHART[0] <= x <= planing.PORPOISING_CHART[1]:
        passed.append(f"porpoising chart at {x:.3f}, which goes from 0.13 to 0.30")
    if hull.deadrise_deg > planing.STEEPEST_DEADRISE_IN_CHART_DEG:
        passed.append(f"porpoising chart at {hull.deadrise_deg:g}° of deadrise, which goes up to 20°")
    return passed


CALCULATORS = (
    Calculator(
        "planing",
        "Getting onto the plane",
        "How does she trim on the way onto the plane, and does she porpoise there?",
        _GROUP,
        (
            common.mass("kg", label="Mass, ready to run"),
            common.length("beam", "Beam at the chines", "m", high=100),
            Input("deadrise", "Deadrise", "°", "angle", low=0, below=60),
            common.length("lcg", "Balance point from the transom", "m", high=100),
            Input("vcg", "Balance point above the keel", "m", "length", low=-10, high=100),
            Input("speed", "Speed", "m/s", "speed", above=0, high=200),
            Input("shaft_angle", "Shaft to the keel", "°", "angle", fold=USUAL, default="0", low=-20, high=30),
            Input(
                "thrust_offset",
                "Line of thrust below the balance point",
                "m",
                "length",
                fold=USUAL,
                default="0",
                low=-10,
                high=10,
            ),
            Input(
                "density",
                "Density of the water",
                "kg/m³",
                "density",
                fold=USUAL,
                default=_DENSITY_15_C,
                low=900,
                high=1100,
            ),
            Input(
                "kinematic_viscosity",
                "Viscosity of the water",
                "m²/s",
                "viscosity",
                fold=USUAL,
                default=_VISCOSITY_15_C,
                above=0,
                high=1e-4,
            ),
            Input(
                "friction_line",
                "Friction line",
                kind="choice",
                fold=USUAL,
                default="ittc57",
                choices=tuple(planing.FRICTION_LINES),
            ),
            Input("allowance", "Roughness allowance", fold=USUAL, default="0.0004", low=0, high=0.01),
            Input("gravity", "Gravity", "m/s²", "acceleration", fold=USUAL, default="9.80665", above=0, high=20),
        ),
        (
            Result("equilibrium", "Equilibrium found", kind="flag"),
            Result("in_range", "Within the range of the method", kind="flag"),
            Result("trim", "Trim", "°", "angle", 2),
            Result("porpoising_trim", "Porpoises from a trim of", "°", "angle", 2),
            Result("mean_wetted_length_ratio", "Mean wetted length by beam", decimals=3),
            Result("keel_wetted_length", "Wetted keel", "m", "length"),
            Result("chine_wetted_length", "Wetted chines", "m", "length"),
            Result("drag", "Drag of the bare hull", "N", "force"),
            Result("power", "Power to overcome it", "W", "power"),
            Result("lift_coefficient", "Lift coefficient", decimals=4),
            Result("speed_coefficient", "Speed coefficient", decimals=3),
            Result("friction_coefficient", "Friction coefficient", decimals=6),
            Result("chart_from", "The porpoising chart covers her from", "km/h", "speed"),
            Result("chart_to", "and up to", "km/h", "speed"),
        ),
        _planing,
        "D. Savitsky, Hydrodynamic Design of Planing Hulls, Marine Technology 1(1), 1964, 71-95, solved exactly;"
        " porpoising: fits of its figure 19 as packaged in openplaning 0.4.9. ITTC-57 and Schoenherr lines.",
        "Speed coefficient 0.6 to 13, trim 2 to 15°, wetted length ratio up to 4, porpoising chart 0.13 to 0.30 and"
        " deadrise up to 20°. A hull of 1 to 2.5 kg falls below 2° trim between 20 and 30 km/h: for getting onto the"
        " plane and for porpoising there, never for top speed. Bare prismatic hull: no steps, strakes, tabs, fin, air.",
        Example(
            {
                "mass": "60000 lb",
                "beam": "14 ft",
                "deadrise": "10",
                "lcg": "29 ft",
                "vcg": "2 ft",
                "speed": "20.574",
                "shaft_angle": "4",
                "thrust_offset": "0.5 ft",
                "density": "999.8",
                "kinematic_viscosity": "1.022e-6",
                "friction_line": "schoenherr",
                "gravity": "9.80665",
            },
            "the example of the 1964 paper, in SI: trim 2.3° by its charts, 2.26° solved exactly",
        ),
        fills=("hull",),
        drawings=("deadrise", "balance"),
        headline="trim",
    ),
    Calculator(
        "water",
        "Water",
        "How dense and how viscous is this water?",
        _GROUP,
        (
            common.temperature(low=-2, high=100),
            Input("salinity", "Water", kind="choice", default="fresh", choices=("fresh", "sea")),
        ),
        (
            Result("density", "Density", "kg/m³", "density", 2),
            Result("kinematic_viscosity", "Kinematic viscosity", "m²/s", "viscosity"),
        ),
        _water,
        "Fresh: IAPWS SR6-08 and R12-08. Sea, 35 g/kg: UNESCO equation of state 1983; viscosity M. H. Sharqawy and"
        " others 2010 (from memory).",
        "0 to 40 °C at one atmosphere.",
        Example({"temperature": "15"}, "999.10 kg/m³ (CIPM table); 1.1386e-6 m²/s"),
        fills=("run",),
    ),
    Calculator(
        "air",
        "Air",
        "How dense is the air?",
        _GROUP,
        (
            common.temperature(low=-30, high=55),
            Input("pressure", "Pressure at the water", "hPa", "pressure", default="1013.25", low=300, high=1200),
            Input("humidity", "Humidity", kind="fraction", default="0.5", low=0, high=1, hint="0 to 1"),
        ),
        (Result("density", "Density", "kg/m³", "density", 4),),
        _air,
        "OIML R 111-1, annex E, eq. (E.3-1) (formula seen, coefficients from memory).",
        "900 to 1100 hPa, 10 to 30 °C, humidity under 80 %: 2 parts in 10,000; a little more beside that.",
        Example({"temperature": "20"}, "own evaluation of the formula: 1.1993 kg/m³"),
        fills=("run",),
    ),
)
