"""Drives: motors, speed controllers, shafts, struts, rudders and other hardware installed at a place."""

from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, number_check, utc_check

PART_KINDS = (
    "motor",
    "speed controller",
    "shaft",
    "strut",
    "stuffing tube",
    "rudder",
    "turn fin",
    "trim tab",
    "cooling",
    "capacitor bank",
    "receiver",
    "servo",
    "GPS unit",
    "other",
)


class Part(SQLModel, table=True):
    """One piece of hardware. Figures that its kind does not have stay empty."""

    __table_args__ = (
        choice_check("kind", PART_KINDS),
        number_check("kv_stated", 10, 20000),
        number_check("kv_measured", 10, 20000),
        number_check("poles", 2, 40),
        number_check("resistance_mohm", 0.01, 10000),
        number_check("no_load_current_a", 0, 200),
        number_check("timing_deg", -10, 40),
        number_check("diameter_mm", 0.1, 1000),
        number_check("length_mm", 0.1, 5000),
        number_check("mass_g", 0.01, 20000),
        number_check("max_current_a", 0.1, 2000),
        number_check("max_cells", 1, 20),
        number_check("cut_off_v_per_cell", 2, 4.2),
        number_check("capacitance_uf", 1, 1000000),
        utc_check("created_at"),
    )

    id: int = Field(default=None, primary_key=True)
    code: str = Field(index=True, unique=True)
    kind: str = Field(index=True)
    name: str = ""
    kv_stated: float | None = None
    kv_measured: float | None = None
    poles: int | None = None
    resistance_mohm: float | None = None
    no_load_current_a: float | None = None
    timing_deg: float | None = None
    diameter_mm: float | None = None
    length_mm: float | None = None
    mass_g: float | None = None
    max_current_a: float | None = None
    max_cells: int | None = None
    cut_off_v_per_cell: float | None = None
    capacitance_uf: float | None = None
    throttle_calibrated_on: str = ""
    material: str = ""
    bought_on: str = ""
    notes: str = ""
    retired_on: str = Field(default="", index=True)
    retired_reason: str = ""
    created_at: str
