"""What is imported by name when it is first needed, so that the program starts without it.

The one place of the house that does so: whoever names something here stands above it.
"""

import gc
import sys
from importlib import import_module
from types import ModuleType
from typing import Any


def loaded(place: str) -> Any:
    """What `module:name` calls, its module imported first if it was not yet."""
    module, name = place.split(":")
    # One that another thread is still importing is waited for either way.
    imported = import_module(module) if module in sys.modules else _first_imported(module)
    return getattr(imported, name)


def _first_imported(module: str) -> ModuleType:
    # What is made while importing is there for good: nobody need look for garbage in it, neither now nor later.
    waits = gc.isenabled()
    gc.disable()
    try:
        return import_module(module)
    finally:
        gc.freeze()
        if waits:
            gc.enable()
