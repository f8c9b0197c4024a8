"""A piece that was worked out, as the fields of a step that makes it."""

from garage.bench.definition import Worked
from garage.reference import materials


def step_values(worked: Worked) -> dict[str, str]:
    """Texts for a step's form by field, units and all; empty for a calculator that works out no piece."""
    make = {"strip": _strip, "bottom-strip": _bottom_strip}.get(worked.calculator.name)
    return {name: text for name, text in make(worked).items() if text} if make else {}


def _strip(worked: Worked) -> dict[str, str]:
    given, section = worked.given, worked.given["section"]
    across = "width" if section in ("rectangle", "triangle", "angle") else "diameter"
    return {
        "section": section,
        across: _mm(given["width"]),
        "height": _mm(given["height"]) if across == "width" else "",
        "wall": _mm(given["wall"]) if section in ("tube", "angle") else "",
        "length": _mm(given["length"]),
        "count": str(given["count"]),
        "material": materials()[given["material"]].name if given["material"] else "",
        "density": f"{given['density']:.10g} kg/m³" if given["density"] else "",
    }


def _bottom_strip(worked: Worked) -> dict[str, str]:
    given, found = worked.given, worked.answer.results
    inner, outer = found["inner_height"], found["outer_height"]
    assert isinstance(inner, float) and isinstance(outer, float)
    where = "at the chine’s side" if outer >= inner else "at the keel’s side"
    return {
        "what": f"strip, {max(inner, outer):.2f} mm high {where}, face at {given['face_angle']:g}° to the waterline",
        "section": "triangle",
        "width": _mm(given["width"]),
        "height": _mm(round(max(inner, outer), 3)),
        "length": _mm(given["length"]),
        "count": str(given["count"]),
    }


def _mm(value: float | None) -> str:
    return "" if value is None else f"{value:.10g} mm"
