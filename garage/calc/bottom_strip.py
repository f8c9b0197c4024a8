"""A strip on a V bottom: pad, rail, wedge or strake. Plane geometry, seen from astern.

The strip's width is measured level, across the boat; its heights straight down from the bottom to its face, at
the edge towards the keel (inner) and at the one towards the chine (outer).
"""

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class BottomStrip:
    """One strip's section, and of all of them the face and the volume."""

    inner_height_mm: float
    outer_height_mm: float
    back_width_mm: float
    bevel_deg: float
    section_area_mm2: float
    face_area_mm2: float
    volume_mm3: float


def bottom_strip(
    deadrise_deg: float, width_mm: float, face_angle_deg: float, length_mm: float, count: int = 2
) -> BottomStrip:
    """A strip whose face lies at `face_angle_deg` to the waterline: 0 is level, plus rises towards the chine.

    At the thin edge its height is nothing; at the other it is width × |tan deadrise - tan face angle|. A face
    that falls towards the chine (minus) makes a strip thicker outside than a level one; one steeper than the
    bottom is thick at the keel's side. `back_width_mm` is what lies on the bottom, `bevel_deg` what to plane it
    to. Angles under 60° and over -60°; ValueError outside, or when a length is not above zero.
    """
    if not (0 <= deadrise_deg < 60 and -60 < face_angle_deg < 60):
        raise ValueError("The deadrise must lie between 0 and 60°, the face between -60 and 60°.")
    if not (width_mm > 0 and length_mm > 0 and count > 0):
        raise ValueError("Width, length and count must be more than zero.")
    bottom, face = (math.tan(math.radians(angle)) for angle in (deadrise_deg, face_angle_deg))
    difference_mm = width_mm * (bottom - face)
    section_mm2 = width_mm * abs(difference_mm) / 2
    return BottomStrip(
        inner_height_mm=max(0.0, -difference_mm),
        outer_height_mm=max(0.0, difference_mm),
        back_width_mm=width_mm / math.cos(math.radians(deadrise_deg)),
        bevel_deg=deadrise_deg - face_angle_deg,
        section_area_mm2=section_mm2,
        face_area_mm2=width_mm / math.cos(math.radians(face_angle_deg)) * length_mm * count,
        volume_mm3=section_mm2 * length_mm * count,
    )
