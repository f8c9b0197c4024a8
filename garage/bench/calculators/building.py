"""Building: strips, strips on the bottom, coatings."""

from collections.abc import Mapping
from typing import Any

from garage.bench.calculators import common
from garage.bench.definition import Answer, Calculator, Example, Input, Result, WrongInput
from garage.calc import bending, coating
from garage.calc.bottom_strip import bottom_strip
from garage.calc.section import section_area_mm2, strip_mass_g, strip_volume_mm3
from garage.reference import class_rules, materials

_GROUP = "Building"
_SECTIONS = ("rectangle", "triangle", "round", "half-round", "tube", "angle")
# Stock that bends by the rules for wood; plywood and balsa have laws of their own beside these.
_SOLID_WOODS = ("balsa", "obeche", "basswood", "spruce", "white_pine", "birch")
_ASSUMED_DENSITY_KG_M3 = 1000.0
_DENSITY = Input("density", "Density", "kg/m³", "density", optional=True, above=0, high=25000)


_WITH_HEIGHT, _WITH_WALL = ("rectangle", "triangle", "angle"), ("tube", "angle")


def _needed(given: Mapping[str, Any], section: str) -> dict[str, float]:
    """The dimensions of a section by the names geometry gives them; a round's width is its diameter."""
    wanted = {"width": "width_mm"}
    if section in _WITH_HEIGHT:
        wanted |= {"height": "height_mm"}
    else:
        wanted = {"width": "diameter_mm"}
    if section in _WITH_WALL:
        wanted |= {"wall": "wall_mm"}
    missing = {name: f"A {section} needs it." for name in wanted if given[name] is None}
    if missing:
        raise WrongInput(missing)
    return {geometry: given[name] for name, geometry in wanted.items()}


def _strip(given: Mapping[str, Any]) -> Answer:
    section, material = given["section"], given["material"]
    sizes = _needed(given, section)
    area = section_area_mm2(section, **sizes)
    density, cautions = given["density"], []
    if density is None:
        if material is None:
            raise WrongInput({"density": "Give the density, or the material."})
        density = materials()[material].density_kg_m3
        if materials()[material].note:
            cautions.append(materials()[material].note)
    bent_mm = given["height"] if section in _WITH_HEIGHT else given["width"]
    if section == "half-round":
        bent_mm = given["width"] / 2
    fibre_mm = bending.outermost_fibre_mm(section, given["width"], bent_mm, given["wall"] or 0.0)
    radius, strain, low, high = given["bend_radius"], None, None, None
    if radius is not None:
        if radius <= fibre_mm:
            raise WrongInput({"bend_radius": "The radius is less than the strip is thick."})
        strain = bending.bending_strain(fibre_mm, radius)
    if material is None or material in _SOLID_WOODS:
        low, high = bending.smallest_radii_mm(fibre_mm, material or "")
        cautions += _bend_cautions(radius, low, high, material)
    else:
        cautions.append("No published rule for how far this material bends cold: try an offcut.")
    results = {
        "volume": strip_volume_mm3(area, given["length"], given["count"]),
        "mass": strip_mass_g(area, given["length"], density, given["count"]),
        "section_area": area,
        "density": density,
        "strain": strain,
        "smallest_radius_low": low,
        "smallest_radius_high": high,
    }
    return Answer(results, tuple(cautions))


def _bend_cautions(radius: float | None, low: float, high: float, material: str | None) -> list[str]:
    said = []
    if material is None:
        said.append("The radii are for dry solid wood; the weakest of the known woods is taken.")
    if radius is not None and radius < low:
        said.append("Tighter than either rule allows: it will break unless it is steamed, split or laminated.")
    elif radius is not None and radius < high:
        said.append("Between the two published rules, which disagree: try an offcut first.")
    return said


def _bottom_strip(given: Mapping[str, Any]) -> Answer:
    made = bottom_strip(given["deadrise"], given["width"], given["face_angle"], given["length"], given["count"])
    rules, cautions = class_rules(), []
    for key, value in (
        ("strake_width", given["width"]),
        ("strake_depth", max(made.inner_height_mm, made.outer_height_mm)),
    ):
        limit = rules[key].limit
        if limit is not None and value > limit:
            cautions.append(f"A strake rule asks: {rules[key].text} ({rules[key].source})")
    if made.section_area_mm2 == 0:
        cautions.append("The face lies along the bottom: there is nothing to glue on.")
    return Answer(
        {
            "inner_height": made.inner_height_mm,
            "outer_height": made.outer_height_mm,
            "section_area": made.section_area_mm2,
            "face_area": made.face_area_mm2,
            "volume": made.volume_mm3,
            "back_width": made.back_width_mm,
            "bevel": made.bevel_deg,
        },
        tuple(cautions),
    )


def _coating(given: Mapping[str, Any]) -> Answer:
    by_film = given["film_thickness"] is not None
    if by_film == (given["spread_rate"] is not None):
        raise ValueError("Give the thickness of the film, or the spread rate with the solids, and not both.")
    area, coats, density = given["area"], given["coats"], given["density"]
    if by_film:
        if density is None:
            raise WrongInput({"density": "The mass of a film needs the density."})
        volume = coating.film_volume_ml(area, coats, given["film_thickness"])
        return Answer({"volume": volume, "mass": coating.mass_g(volume, density)})
    if given["solids"] is None:
        raise WrongInput({"solids": "The spread rate needs the share of solids; the tin or its data sheet says it."})
    cautions: tuple[str, ...] = ()
    if density is None:
        cautions = (f"No density given: {_ASSUMED_DENSITY_KG_M3:g} kg/m³ is assumed; coatings are 900 to 1500.",)
    volume = coating.spread_volume_ml(area, coats, given["spread_rate"])
    return Answer(
        {"volume": volume, "mass": coating.mass_g(volume, density or _ASSUMED_DENSITY_KG_M3, given["solids"])}, cautions
    )


CALCULATORS = (
    Calculator(
        "strip",
        "Strip",
        "What does this strip weigh, and how far does it bend?",
        _GROUP,
        (
            Input("section", "Section", kind="choice", choices=_SECTIONS, default="rectangle"),
            common.length("width", "Width", optional=True, hint="or the diameter of a round, half-round or tube"),
            common.length("height", "Height", optional=True, hint="the way it is bent", only_for=_WITH_HEIGHT),
            common.length("wall", "Wall", optional=True, hint="of a tube or angle", only_for=_WITH_WALL),
            common.length("length", "Length"),
            common.count("count", "How many", default="1"),
            Input("material", "Material", kind="choice", choices=tuple(materials()), optional=True),
            _DENSITY,
            common.length("bend_radius", "Bend radius", optional=True, hint="to the middle of the strip"),
        ),
        (
            Result("volume", "Volume", "mm³", "volume"),
            Result("mass", "Mass", "g", "mass", 2),
            Result("section_area", "Area of the section", "mm²", "area"),
            Result("density", "Density used", "kg/m³", "density"),
            Result("strain", "Strain of the outermost fibre", kind="fraction", decimals=4),
            Result("smallest_radius_low", "Tightest bend by the rule of thumb, 20 thicknesses", "mm", "length", 0),
            Result("smallest_radius_high", "Tightest bend by the strain at which wood fails", "mm", "length", 0),
        ),
        _strip,
        "Plane geometry; Euler-Bernoulli bending. Radii: 20 to 30 thicknesses (The Wood Doctor’s Rx, read in an"
        " excerpt) against MOR / MOE at 12 % moisture (USDA Wood Handbook, tables 5-3a and 5-5a). Densities: each"
        " with its own source in shared/reference/materials.csv.",
        "Straight stock without glue, saw cuts or bevels. The two rules for bending differ by a factor of 3 to 4:"
        " between them, try an offcut.",
        Example(
            {"section": "rectangle", "width": "20", "height": "3", "length": "500", "material": "spruce"},
            "constructed: 13.44 g at 448 kg/m³",
        ),
        drawings=("section",),
        headline="mass",
    ),
    Calculator(
        "bottom-strip",
        "Strip on the bottom",
        "How high must a strip be on this V to have that face?",
        _GROUP,
        (
            Input("deadrise", "Deadrise", "°", "angle", low=0, below=60),
            common.length("width", "Width, level across the boat"),
            Input(
                "face_angle",
                "Face to the waterline",
                "°",
                "angle",
                default="0",
                above=-60,
                below=60,
                hint="0 is level, plus rises to the chine",
            ),
            common.length("length", "Length"),
            common.count("count", "How many", default="2"),
        ),
        (
            Result("inner_height", "Height at the keel’s side", "mm", "length", 2),
            Result("outer_height", "Height at the chine’s side", "mm", "length", 2),
            Result("section_area", "Area of the section", "mm²", "area"),
            Result("face_area", "Area of all faces", "mm²", "area", 0),
            Result("volume", "Volume of all", "mm³", "volume"),
            Result("back_width", "Width on the bottom", "mm", "length", 2),
            Result("bevel", "Bevel of the back to the face", "°", "angle"),
        ),
        _bottom_strip,
        "Plane geometry: heights are straight down, height = width × |tan deadrise - tan face angle|.",
        "A straight V. Pads, rails, wedges and strakes alike. The outer edge is left sharp.",
        Example({"deadrise": "20", "width": "8", "length": "300"}, "own evaluation: 8 × tan 20° is 2.91 mm"),
        fills=("hull",),
        drawings=("bottom_strip", "deadrise"),
        headline="outer_height",
    ),
    Calculator(
        "coating",
        "Coating",
        "What do these coats weigh?",
        _GROUP,
        (
            Input("area", "Area", "cm²", "area", above=0, high=1e7),
            common.count("coats", "Coats", high=100),
            Input("film_thickness", "Dry film of one coat", "µm", "film", optional=True, above=0, high=1e5),
            _DENSITY,
            Input(
                "spread_rate",
                "Spread rate",
                "m²/l",
                "spread_rate",
                optional=True,
                above=0,
                high=1000,
                hint="instead of the film",
            ),
            Input(
                "solids",
                "Share of solids by mass",
                kind="fraction",
                optional=True,
                above=0,
                high=1,
                hint="0 to 1, with the spread rate",
            ),
        ),
        (
            Result("volume", "Volume: of the dry film, or to pour", "ml", "volume"),
            Result("mass", "Mass that stays", "g", "mass", 2),
        ),
        _coating,
        "Volume by area and thickness, or by the maker’s spread rate.",
        "Sanding between coats takes some of it off again. A rough or bare surface drinks more.",
        Example(
            {"area": "1200", "coats": "2", "film_thickness": "40", "density": "1150"}, "by definition: 9.6 ml, 11.04 g"
        ),
    ),
)
