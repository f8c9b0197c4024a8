"""Balance: parts at places, and two scales."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeVar

from garage.bench.balance.part_lines import MASS, PART, PART_FIELDS, X, parts_of
from garage.bench.calculators import common
from garage.bench.definition import Answer, Calculator, Example, Input, Result, WrongLine
from garage.calc import balance
from garage.fields.definition import Field
from garage.units import UnreadableQuantity, parse_in_unit

_GROUP = "Balance"
_OTHERWISE = "What if a part sits or weighs otherwise"
_SOURCE = "Statics; moment tables as in FAA, Weight and Balance Handbook / Pilot’s Handbook FAA-H-8083-25."
_Made = TypeVar("_Made")
_DATUM = "x from the transom forward, y from the keel line to the right, z up from the keel; mm and g."


def _named(text: str, figure: Field, kind: str, unit: str) -> tuple[str, float]:
    name, parted, written = text.rpartition(";")
    if not parted or not name.strip():
        field, beside = ("name", "Which part?") if parted else (figure.name, "This is needed.")
        words = f"write the part’s name, a semicolon and the {kind} in {unit}."
        raise WrongLine(1, text, field, words, beside)
    try:
        return name.strip(), parse_in_unit(written, kind, unit)
    except UnreadableQuantity as unread:
        raise WrongLine(1, text, figure.name, str(unread)) from unread


def _with_swap(parts: Sequence[balance.PlacedPart], text: str) -> tuple[str, list[balance.PlacedPart]]:
    name, mass_g = _named(text, MASS, "mass", "g")
    if mass_g < 0:
        raise WrongLine(1, text, MASS.name, "a mass cannot be less than nothing.")
    return name, balance.swapped(parts, name, mass_g)


def _with_move(parts: Sequence[balance.PlacedPart], text: str) -> tuple[str, list[balance.PlacedPart]]:
    name, x_mm = _named(text, X, "length", "mm")
    return name, balance.moved(parts, name, x_mm)


def _beside(field: str, make: Callable[..., _Made], *given: Any) -> _Made:
    """What `make` makes; what is wrong stands beside the input it came from."""
    try:
        return make(*given)
    except ValueError as error:
        raise common.wrong_list(field, error) from error


def _balance(given: Mapping[str, Any]) -> Answer:
    before = parts = _beside("part", parts_of, given["part"])
    was = _beside("part", balance.balance, before)
    place, name = None, ""
    if given["swap"]:
        name, parts = _beside("swap", _with_swap, parts, given["swap"])
    if given["move"]:
        name, parts = _beside("move", _with_move, parts, given["move"])
    now = _beside("swap", balance.balance, parts)
    if name and any(part.name == name and part.mass_g for part in parts):
        place = balance.place_for_lcg_mm(parts, name, was.lcg_mm)
    length = given["length"]
    percent, percent_was = (one.lcg_mm / length * 100 if length else None for one in (now, was))
    results = {
        "mass": now.mass_g,
        "lcg": now.lcg_mm,
        "tcg": now.tcg_mm,
        "vcg": now.vcg_mm,
        "percent_of_length": percent,
        "mass_change": now.mass_g - was.mass_g,
        "lcg_change": now.lcg_mm - was.lcg_mm,
        "tcg_change": _less(now.tcg_mm, was.tcg_mm),
        "vcg_change": _less(now.vcg_mm, was.vcg_mm),
        "percent_of_length_change": _less(percent, percent_was),
        "place_to_restore": place,
        "pitch_gyradius": now.pitch_gyradius_mm,
    }
    return Answer(results, _cautions(parts, now, length))


def _less(now: float | None, was: float | None) -> float | None:
    return None if now is None or was is None else now - was


def _cautions(parts: list[balance.PlacedPart], now: balance.Balance, length: float | None) -> tuple[str, ...]:
    cautions = []
    if any(part.y_mm is None for part in parts):
        cautions.append("No balance across: a part’s y is not known.")
    if any(part.z_mm is None for part in parts):
        cautions.append("No height of the balance: a part’s z is not known.")
    if length and not 0 <= now.lcg_mm <= length:
        cautions.append("The balance point lies outside the hull: look at the places again.")
    return tuple(cautions)


def _two_scales(given: Mapping[str, Any]) -> Answer:
    mass, lcg = balance.two_scales(given["first_x"], given["first_mass"], given["second_x"], given["second_mass"])
    cautions = []
    if abs(given["second_x"] - given["first_x"]) < 100:
        cautions.append("The scales stand close together: a gram or a millimetre moves the answer much.")
    length = given["length"]
    return Answer(
        {"mass": mass, "lcg": lcg, "percent_of_length": lcg / length * 100 if length else None}, tuple(cautions)
    )


CALCULATORS = (
    Calculator(
        "balance",
        "Balance from parts",
        "Where does she balance, and what does a heavier or moved part do?",
        _GROUP,
        (
            Input("part", "Parts", kind="lines", hint=_DATUM, of=PART_FIELDS, each="Part", rows=4),
            common.length("length", "Length of the hull", optional=True, hint="for the percent"),
            Input("move", "Move a part", kind="text", optional=True, of=(PART, X), fold=_OTHERWISE),
            Input("swap", "Give a part another mass", kind="text", optional=True, of=(PART, MASS), fold=_OTHERWISE),
        ),
        (
            Result("mass", "Mass", "g", "mass"),
            Result("lcg", "Balance point from the transom", "mm", "length", 1),
            Result("tcg", "to the right of the keel line", "mm", "length", 1),
            Result("vcg", "above the keel", "mm", "length", 1),
            Result("percent_of_length", "of the length", "%", "percent"),
            Result("mass_change", "Change of mass", "g", "mass"),
            Result("lcg_change", "Change along, plus is forward", "mm", "length", 1),
            Result("tcg_change", "Change across", "mm", "length", 1),
            Result("vcg_change", "Change of height", "mm", "length", 1),
            Result("percent_of_length_change", "Change in percent of the length", "%", "percent"),
            Result("place_to_restore", "Place of that part for the old balance point", "mm", "length", 1),
            Result("pitch_gyradius", "Gyradius in pitch", "mm", "length", 1),
        ),
        _balance,
        _SOURCE,
        "Every part that is on the boat, packs and all, or the point is not hers. Set it against a weighing.",
        Example(
            {
                "part": "hull;620;300\nmotor;230;250\nspeed controller;140;330\npack;520;360\ndrive;90;60\n"
                "servo and rudder;95;20\nreceiver;15;400",
                "move": "pack;380",
            },
            "constructed: 1710 g, 286.667 mm, and 292.749 mm with the pack 20 mm forward",
        ),
        fills=("hull",),
        drawings=("balance",),
        headline="lcg",
    ),
    Calculator(
        "two-scales",
        "Balance on two scales",
        "Where does she balance by two scales under her?",
        _GROUP,
        (
            Input("first_mass", "First scale reads", "g", "mass", low=0, high=1e6),
            Input("first_x", "It stands, from the transom", "mm", "length", low=-1e5, high=1e5),
            Input("second_mass", "Second scale reads", "g", "mass", low=0, high=1e6),
            Input("second_x", "It stands, from the transom", "mm", "length", low=-1e5, high=1e5),
            common.length("length", "Length of the hull", optional=True, hint="for the percent"),
        ),
        (
            Result("mass", "Mass", "g", "mass"),
            Result("lcg", "Balance point from the transom", "mm", "length", 1),
            Result("percent_of_length", "of the length", "%", "percent"),
        ),
        _two_scales,
        _SOURCE,
        "Level, ready to run, on two knife edges. Places measured from the same datum.",
        Example(
            {"first_mass": "690", "first_x": "50", "second_mass": "1020", "second_x": "550"},
            "constructed: 1710 g, 348.25 mm",
        ),
        fills=("hull",),
        drawings=("balance",),
        headline="lcg",
    ),
)
