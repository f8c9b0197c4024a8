"""Waters as a collection: they are nobody's to lend and have no price, and their form is all there is of them."""

from garage.inventory.collection import Collection, Words
from garage.waters.fields import FIELDS, RETIREMENT_FIELDS
from garage.waters.tables import Water

WATERS = Collection(
    Water,
    "/waters",
    Words(
        "water",
        "waters",
        "Each water has rules of its own; they come before everything here.",
        "Where do you run?",
        "Write down a water with its rules: speed limit, hours, whether electric boats may run.",
        "Outings, runs and records there stay as they are.",
        gone="no longer visited",
        retire="Take it off the lists",
        bring_back="Back on the lists",
        keep="Keep on the lists",
        back="back on the lists",
        said=("speed_limit", "electric_allowed", "course"),
    ),
    FIELDS,
    RETIREMENT_FIELDS,
    columns=("speed_limit", "hours", "electric_allowed", "course"),
    form="waters/edit.html",
    has_page=False,
)
