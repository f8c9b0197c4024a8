"""Prop: pitch speed, slip, tip speed."""

from collections.abc import Mapping
from typing import Any

from garage.bench.calculators import common
from garage.bench.definition import Answer, Calculator, Example, Input, Result
from garage.calc import prop

_GROUP = "Prop"
_KINEMATICS = "Kinematics by definition; names after the ITTC Symbols and Terminology List."
_RATIO = Input("pitch_ratio", "Pitch ratio", optional=True, above=0, high=10, hint="pitch by diameter")
_SPEED = Result("speed", "Pitch speed", "km/h", "speed")


def _pitch_mm(given: Mapping[str, Any]) -> float:
    """The pitch as given, or from diameter and ratio; ValueError when neither or both are there."""
    if given["pitch"] is not None:
        if given["pitch_ratio"] is not None:
            raise ValueError("Give the pitch, or the pitch ratio with the diameter, not both.")
        return given["pitch"]
    if given["pitch_ratio"] is None or given["diameter"] is None:
        raise ValueError("Give the pitch, or the diameter with the pitch ratio.")
    return prop.pitch_mm(given["diameter"], given["pitch_ratio"])


def _pitch_speed(given: Mapping[str, Any]) -> Answer:
    pitch_mm = _pitch_mm(given)
    speed = prop.pitch_speed_kmh(given["shaft_speed"], pitch_mm)
    return Answer({"speed": speed, "pitch": pitch_mm})


def _slip(given: Mapping[str, Any]) -> Answer:
    pitch_speed = prop.pitch_speed_kmh(given["shaft_speed"], _pitch_mm(given))
    slip = prop.slip(given["speed"], pitch_speed)
    advance = None
    if given["diameter"] is not None:
        advance = prop.advance_ratio(given["speed"], given["shaft_speed"], given["diameter"])
    cautions = []
    if given["basis"] == "apparent":
        cautions.append(
            "Apparent slip: the shaft speed is not measured. Taken straight from Kv and volts it has sag and losses of"
            " the motor in it, often another 0.1 to 0.2 (common practice, no source)."
        )
    if slip < 0:
        cautions.append(
            "Negative slip is reported, not clipped: a cup, a pitch that is more than stated, or a peak of the"
            " GPS that reads high."
        )
    elif slip > 0.5:
        cautions.append("More than half is slip: look at the shaft speed, the pitch and how deep the prop runs.")
    results = {"slip": slip, "pitch_speed": pitch_speed, "advance_ratio": advance, "basis": given["basis"]}
    return Answer(results, tuple(cautions))


def _tip_speed(given: Mapping[str, Any]) -> Answer:
    tip = prop.tip_speed_ms(given["shaft_speed"], given["diameter"])
    return Answer({"tip_speed": tip, "resultant_speed": prop.resultant_speed_ms(tip, given["speed"])})


CALCULATORS = (
    Calculator(
        "pitch-speed",
        "Pitch speed",
        "How fast would this prop go without any slip?",
        _GROUP,
        (common.shaft_speed(), common.pitch(optional=True), common.diameter(optional=True), _RATIO),
        (_SPEED, Result("pitch", "Pitch", "mm", "length")),
        _pitch_speed,
        _KINEMATICS + " Units: NIST SP 811.",
        "Any prop. The shaft speed under load, not Kv times volts: that reads 8 to 20 % high.",
        Example(
            {"shaft_speed": "30000", "diameter": "40 mm", "pitch_ratio": "1.6"},
            "constructed: 115.2 km/h, by definition",
        ),
        fills=("prop", "run"),
    ),
    Calculator(
        "slip",
        "Slip",
        "How much of the pitch speed is lost as slip?",
        _GROUP,
        (
            common.shaft_speed(),
            common.pitch(optional=True),
            common.diameter(optional=True),
            _RATIO,
            common.speed(),
            Input(
                "basis",
                "The shaft speed is",
                kind="choice",
                default="measured",
                choices=("measured", "apparent"),
                hint="apparent: reckoned from Kv and volts, not logged",
            ),
        ),
        (
            Result("slip", "Slip", kind="fraction"),
            Result("pitch_speed", "Pitch speed", "km/h", "speed"),
            Result("advance_ratio", "Advance ratio", decimals=3),
            Result("basis", "Shaft speed", kind="text"),
        ),
        _slip,
        "Slip ratio and advance coefficient by definition, ITTC Symbols and Terminology List.",
        "Only against the same prop as it was: a cup or a rework changes the pitch that counts. 1 % in shaft"
        " speed, pitch or speed moves slip by nearly a point.",
        Example(
            {"shaft_speed": "30000", "diameter": "40 mm", "pitch_ratio": "1.6", "speed": "90 km/h"},
            "constructed: slip 0.21875, advance ratio 1.25, by definition",
        ),
        fills=("prop", "run"),
    ),
    Calculator(
        "tip-speed",
        "Tip speed",
        "How fast do the blade tips go through the water?",
        _GROUP,
        (common.shaft_speed(), common.diameter(), common.speed(default="0")),
        (
            Result("tip_speed", "Tip speed, around the shaft", "m/s", "speed"),
            Result("resultant_speed", "Tip speed through the water", "m/s", "speed"),
        ),
        _tip_speed,
        "Kinematics.",
        "Any prop.",
        Example(
            {"shaft_speed": "30000", "diameter": "40 mm", "speed": "90 km/h"}, "constructed: 62.832 and 67.623 m/s"
        ),
        fills=("prop", "run"),
    ),
)
