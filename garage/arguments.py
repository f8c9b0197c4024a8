"""The words after a command, read; what cannot be read is said in one line."""

import argparse
from math import isfinite
from typing import NoReturn

from garage.errors import GarageError


class Arguments(argparse.ArgumentParser):
    """argparse, but a wrong word raises a GarageError rather than printing how to use all of the command."""

    def error(self, message: str) -> NoReturn:
        """Raises GarageError with argparse's words."""
        words = " ".join(message.removeprefix("argument ").split())
        raise GarageError(f"{self.prog}: {words[:300]}. {self.prog} --help tells more.")


def number(text: str) -> float:
    """A finite number written as an option. Raises ArgumentTypeError."""
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not isfinite(value):
        raise argparse.ArgumentTypeError(f"“{text[:40]}” is no number")
    return value
