"""What is asked of a field that a person adds."""

from garage.fields.definition import Field
from garage.units import KINDS

TEXT, CHOICE, YES_NO, NUMBER = "text", "choice", "yes/no", "number"
_MEASURES = tuple((name, f"{name.replace('_', ' ')}, in {kind.storage_unit}") for name, kind in KINDS.items())
OWN_KINDS = (
    (NUMBER, "a number, with a unit in your own words"),
    (YES_NO, "yes or no"),
    (CHOICE, "one of several choices"),
    (TEXT, "words"),
    *_MEASURES,
)
# What most people mean, said first; a measure is one that the notebook can convert.
PLAIN_KINDS, MEASURES = OWN_KINDS[:4], OWN_KINDS[4:]
# What one step of a field may do to the speed, before any run was looked at: assumed, common practice, no source.
USUAL_PRIOR_PERCENT = 3.0
MOST_CHOICES = 20

LABEL = Field("label", "What it is called", hint="say, weed on the water", required=True, most=60, searched="title")
KIND = Field(
    "kind", "What goes into it", "choice", choices=OWN_KINDS, required=True, asked="kind", listed=False, checked=False
)
UNIT = Field(
    "unit", "Unit of a plain number", hint="in your own words: turns, clicks; a measure brings its own", most=20,
    asked="kind", listed=False,
)  # fmt: skip
# Asked for as a list, with a field for each.
CHOICES = Field("choices", "The choices", "long text", most=2000, asked="", searched="text")
# Read and shown in the unit of what the field holds.
LOW = Field("low", "Lowest", "number", "of a number or a measure; may stay open", asked="bounds", listed=False)
HIGH = Field("high", "Highest", "number", "may stay open", asked="bounds", listed=False)
STEP = Field(
    "step", "One step of it", "number", "by which it is usually changed; left open, 1 of its unit", asked="prior",
    listed=False,
)  # fmt: skip
PRIOR = Field(
    "prior", "One step may change the speed by", "percent", "up or down, two times of three; assumed until you say",
    0.1, 50, default=USUAL_PRIOR_PERCENT, asked="prior", listed=False,
)  # fmt: skip
EVENING = Field("evening", "The evening table asks for it as well", "yes/no", asked="evening", listed=False)

FIELDS = (
    LABEL, Field("hint", "Hint beside it", most=120, searched="text", listed=False), KIND, UNIT, CHOICES, LOW, HIGH,
    STEP, PRIOR, EVENING,
)  # fmt: skip
