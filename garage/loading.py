"""What is imported by name when it is first needed, so that the program starts without it.

The one place of the house that does so: whoever names something here stands above it.
"""

import gc
from importlib import import_module
from typing import Any


def loaded(place: str) -> Any:
    """What `module:name` calls, its module imported first if it was not yet.

    Nothing made while loading is garbage, so looking for some waits until after.
    """
    module, name = place.split(":")
    waits = gc.isenabled()
    gc.disable()
    try:
        return getattr(import_module(module), name)
    finally:
        if waits:
            gc.enable()
