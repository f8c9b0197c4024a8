"""Class rules for strakes as hints beside a modification, each naming its rule. Never an error."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from garage.modifications.step_mass import Piece
from garage.reference import ClassRule, class_rules

_STRAKE = re.compile(r"\b(?:strakes?|spray[ -]?rails?)\b", re.IGNORECASE)
# The sizes above which the larger depth is allowed stand in the text of the rule `strake_depth_large`.
_LARGE_LENGTH_MM = 1168.4
_LARGE_BEAM_MM = 381.0
_GENERAL = ("strake_parallel_aft", "strake_parallel_length", "strake_spacing", "strake_no_pad")


@dataclass(frozen=True)
class Hint:
    """One hint: what the rule says, whether a dimension written down goes beyond it, and which rule it is."""

    text: str
    beyond: str
    rule: str
    source: str


def is_about_strakes(*texts: str) -> bool:
    """Whether any of the texts speaks of strakes or spray rails."""
    return any(_STRAKE.search(text) for text in texts)


def strake_hints(pieces: Sequence[Piece], hull_length_mm: float | None, hull_beam_mm: float | None) -> list[Hint]:
    """Hints for strakes on a hull of the given size in mm; steps are numbered from 1 as on the page."""
    rules = class_rules()
    large = (hull_length_mm or 0) > _LARGE_LENGTH_MM and (hull_beam_mm or 0) > _LARGE_BEAM_MM
    width_rule, depth_rule = rules["strake_width"], rules["strake_depth_large" if large else "strake_depth"]
    hints = [
        _hint(width_rule, _beyond(pieces, 0, width_rule, "wide")),
        _hint(depth_rule, _beyond(pieces, 1, depth_rule, "deep")),
    ]
    return hints + [_hint(rules[key], "") for key in _GENERAL]


def _hint(rule: ClassRule, beyond: str) -> Hint:
    return Hint(rule.text, beyond, rule.rule, rule.source)


def _beyond(pieces: Sequence[Piece], axis: int, rule: ClassRule, word: str) -> str:
    """Which steps' pieces go beyond the limit of `rule` along an axis of their section."""
    found = []
    for number, piece in enumerate(pieces, 1):
        size_mm = _width_and_depth_mm(piece)[axis]
        if rule.limit is not None and size_mm is not None and size_mm > rule.limit:
            found.append(f"step {number}: {size_mm:g} mm {word}")
    return ", ".join(found)


def _width_and_depth_mm(piece: Piece) -> tuple[float | None, float | None]:
    if piece.section in ("rectangle", "triangle", "angle"):
        return piece.width_mm, piece.height_mm
    if piece.section == "half-round" and piece.diameter_mm is not None:
        return piece.diameter_mm, piece.diameter_mm / 2
    if piece.section in ("round", "tube"):
        return piece.diameter_mm, piece.diameter_mm
    return None, None
