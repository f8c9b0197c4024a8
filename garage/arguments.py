"""The words after a command, read; what cannot be read is said in one line."""

import argparse
from math import isfinite
from pathlib import Path
from typing import NoReturn

from garage.errors import GarageError


class Arguments(argparse.ArgumentParser):
    """argparse, but a wrong word raises a GarageError rather than printing how to use all of the command."""

    def error(self, message: str) -> NoReturn:
        """Raises GarageError with argparse's words."""
        words = " ".join(message.removeprefix("argument ").split())
        raise GarageError(f"{self.prog}: {words[:300]}. {self.prog} --help tells more.")

    def add_data_folder(self) -> None:
        """The option `--data`, which every command on a garage has; None where nothing is said."""
        self.add_argument(
            "--data", type=folder_named, metavar="DIR", help="the data folder (default: this system's usual place)"
        )


def number(text: str) -> float:
    """A finite number written as an option. Raises ArgumentTypeError."""
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not isfinite(value):
        raise argparse.ArgumentTypeError(f"“{text[:40]}” is no number")
    return value


def folder_named(text: str) -> Path:
    """A folder written as an option; an empty word would mean the folder one happens to stand in. Raises
    ArgumentTypeError."""
    if not text.strip():
        raise argparse.ArgumentTypeError("no folder is named")
    return Path(text)


def port_number(text: str) -> int:
    """A port to listen on, 1 to 65535. Raises ArgumentTypeError."""
    if not (text.isascii() and text.isdigit() and 0 < int(text[:6]) < 65536):
        raise argparse.ArgumentTypeError(f"“{text[:40]}” is no port; ports go from 1 to 65535")
    return int(text)
