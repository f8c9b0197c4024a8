"""Which of the usual cautions a piece of work calls for."""

from collections.abc import Iterable
from typing import Protocol

from garage.reference import Caution, cautions

_DUSTY_ACTIONS = {"cut", "shape", "fair", "sand", "drill"}
# Words in what was written, and the caution that goes with them.
_WOODS = ("wood", "balsa", "obeche", "spruce", "pine", "birch", "ply", "lime", "mahogany", "oak", "teak")
_LAMINATES = ("epoxy", "glass", "carbon", "filler", "laminate", "microballoon", "polyester")
_INSTANT_GLUES = ("ca ", "ca(", "(instant", "instant glue", "cyano", "superglue")


class Work(Protocol):
    """What a step says of the work."""

    action: str
    what: str
    material: str
    adhesive: str
    finish: str


def cautions_for(steps: Iterable[Work], *, at_the_boat: bool = False) -> list[Caution]:
    """The cautions for some steps, each once, in the table's order; `at_the_boat` adds the one on blades."""
    keys = {key for step in steps for key in _keys(step)}
    if at_the_boat:
        keys.add("spinning_prop")
    return [caution for key, caution in cautions().items() if key in keys]


def _keys(step: Work) -> Iterable[str]:
    stuff = f"{step.material} {step.what}".casefold()
    glue = f"{step.adhesive} {step.what} ".casefold()
    dusty = step.action in _DUSTY_ACTIONS
    if step.adhesive.casefold() == "ca" or any(word in glue for word in _INSTANT_GLUES):
        yield "ca_glue"
    if dusty and any(word in stuff for word in _WOODS):
        yield "wood_dust"
    if (dusty or step.action == "bond") and any(word in f"{stuff} {glue}" for word in _LAMINATES):
        yield "laminate_dust"
    if dusty and "beryllium" in stuff:
        yield "beryllium_dust"
    if step.action in ("fit", "drill"):
        yield "spinning_prop"
