"""The notebook as a Python library: `Garage(folder)` reads a folder; `calc`, `effect` and `track` need none.

Nothing of this package is loaded before it is asked for by name, so that what needs little starts quickly. What there
is, with its types, stands in `__init__.pyi`; how to use it, with examples, in `docs/library.md`.
"""

from importlib import import_module
from typing import Any

# Each name, and the module and name where it lives.
_PLACES = {
    "Garage": "garage.api.notebook:Garage",
    "calc": "garage.api.calculators:calc_of",
    "effect": "garage.api.effects:effect_of",
    "track": "garage.api.tracks:track_of",
    "GarageError": "garage.errors:GarageError",
    "NotFound": "garage.errors:NotFound",
    "UnusableData": "garage.errors:UnusableData",
}
__all__ = list(_PLACES)


def __getattr__(name: str) -> Any:
    if name not in _PLACES:
        raise AttributeError(f"{__name__} has no {name}; it has {', '.join(_PLACES)}")
    module, found = _PLACES[name].split(":")
    return getattr(import_module(module), found)


def __dir__() -> list[str]:
    return sorted(_PLACES)
