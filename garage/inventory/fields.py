"""The fields of what is kept in simple lists: drivers, receivers, instruments, chargers and suppliers; and those of
the end of anything."""

from garage.fields.definition import Choice, Field
from garage.shelf import fields as kept

INSTRUMENT_KINDS = (
    "thermometer", "cell checker", "scale", "resistance meter", "multimeter", "power meter", "caliper", "rev counter",
    "stopwatch", "other",
)  # fmt: skip
_HOW_A_THING_GOES = ("sold", "lost", "broken", "used up", "given away", "other")
_HOW_A_DRIVER_GOES = ("gave up", "moved away", "other")
_HOW_A_SUPPLIER_GOES = ("closed", "not bought from any more", "other")


def _name(hint: str) -> Field:
    return Field(
        "name", "Name", hint=hint, required=True, most=120, unique=True, asked="name", searched="title", listed=False
    )


def _notes(hint: str = "") -> Field:
    return Field("notes", "Notes", "long text", hint, asked="notes", searched="text", listed=False)


def retirement(ways: tuple[Choice, ...], hint: str) -> tuple[Field, ...]:
    """What is asked for when something leaves the lists; a row in use has none of it. Of one that left them before
    there was such a list of `ways`, how is not said."""
    return (
        Field("retired_on", "On", "date", indexed=True, listed=False),
        Field("retired_how", "How", "choice", choices=ways, listed=False),
        Field("retired_reason", "Why", "text", hint, most=300, searched="text", listed=False),
    )


DRIVER_FIELDS = (
    _name("whoever holds the sticks"),
    Field("place", "Place", hint="club, home water", most=120, searched="text"),
    _notes("rates, sticks or wheel, what is asked of the boat"),
)
RECEIVER_FIELDS = (
    _name("what is printed on it, or what you call it"),
    Field("kind", "Kind", "choice", choices=("GPS", "telemetry"), required=True, asked="figures"),
    Field("rate_hz", "Rate in Hz", "number", "readings a second", 0.01, 1000, asked="figures",
          origin="stated by the maker, or as set"),
    Field("makers_words", "The maker’s words", "long text", "as printed: model, chip, accuracy", searched="text",
          origin="stated by the maker"),
    Field("accuracy", "Accuracy", "long text", "what you found, and how", searched="text"),
    *kept.OWNED,
    _notes(),
)  # fmt: skip
INSTRUMENT_FIELDS = (
    _name("what is printed on it, or what you call it"),
    Field("kind", "Kind", "choice", choices=INSTRUMENT_KINDS, required=True, asked="figures"),
    Field("reads", "What it reads", hint="temperature, cell voltage, mass", most=120, asked="figures", searched="text"),
    Field("smallest_step", "Smallest step", hint="with its unit, such as 0.1 °C", most=40, asked="figures", short=True,
          origin="read off its display, or stated"),
    Field("calibrated_on", "Calibrated on", "date", "or compared with one that you trust", asked="figures"),
    *kept.OWNED,
    _notes("against what it was compared, how far it was off"),
)  # fmt: skip
CHARGER_FIELDS = (
    _name("what is printed on it, or what you call it"),
    Field("power", "Power", "power", "all ports together", 1, 20_000, asked="figures", origin="stated by the maker"),
    Field("ports", "Ports", "whole", "packs at a time", 1, 20, asked="figures", origin="stated by the maker"),
    Field("max_cells", "Most cells in series", "whole", "", 1, 20, asked="figures", origin="stated by the maker"),
    Field("max_current", "Most current", "current", "of one port", 0.1, 500, asked="figures",
          origin="stated by the maker"),
    Field("in_parallel", "Made for packs in parallel", "yes/no", "only if its maker says so",
          origin="stated by the maker, whose word counts"),
    *kept.OWNED,
    _notes(),
)  # fmt: skip
SUPPLIER_FIELDS = (
    _name("as it stands on the bill"),
    Field("place", "Address", "long text", searched="text"),
    Field("web", "On the web", hint="address of the shop", most=300, searched="text"),
    _notes("delivery, customer number, whom to ask for"),
)
RETIREMENT_FIELDS = retirement(_HOW_A_THING_GOES, "to whom, what broke")
DRIVER_RETIREMENT_FIELDS = retirement(_HOW_A_DRIVER_GOES, "in a few words")
SUPPLIER_RETIREMENT_FIELDS = retirement(_HOW_A_SUPPLIER_GOES, "in a few words")
