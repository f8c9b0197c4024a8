"""The commands. Each lives in a module of its own, which is loaded only when that command is asked for."""

import gc
import os
import sys
from collections.abc import Callable
from importlib import import_module

from garage.errors import GarageError

# Command: the module and the function that runs it with the words after it, and what it does.
COMMANDS = {
    "serve": ("garage.serving:serve", "serve your own garage"),
    "demo": ("garage.serving:demo", "serve an invented garage to look around in"),
    "calc": ("garage.commands.calc:calc", "compute one thing of the bench; garage calc --list names them all"),
    "effect": ("garage.commands.effect:effect", "what a change really gained, from a table of runs"),
    "backup": ("garage.archive.command:backup", "keep a copy of everything in one file, also while serving"),
    "restore": ("garage.archive.command:restore", "put a backup in the place of what is there"),
    "check": ("garage.archive.command:check", "look a garage over: file, photos, recordings, build states"),
    "export": ("garage.archive.command:export", "write everything in open formats to one archive"),
    "import": ("garage.archive.command:import_", "take such an archive into an empty garage"),
    "track": ("garage.commands.track:track", "measure GPS and telemetry logs"),
}

# As a shell has it: 128 and the number of the signal that would have ended the program.
_ENDED_BY_HAND, _ENDED_BY_PIPE = 130, 141


def main(arguments: list[str] | None = None) -> int:
    """Run one command; the exit code is 2 for anything a person can put right."""
    words = sys.argv[1:] if arguments is None else arguments
    try:
        try:
            return _run(words)
        finally:
            sys.stdout.flush()
    except BrokenPipeError:
        # Whoever read on has enough, as `head` has: nothing is left to be said, not even when Python ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return _ENDED_BY_PIPE
    except KeyboardInterrupt:
        return _ENDED_BY_HAND


def _run(words: list[str]) -> int:
    if not words or words[0] in ("-h", "--help"):
        print(_overview())
        return 0 if words else 2
    if words[0] not in COMMANDS:
        print(f"There is no command “{words[0][:40]}”. Commands: {', '.join(COMMANDS)}.", file=sys.stderr)
        return 2
    try:
        return _loaded(COMMANDS[words[0]][0])(words[1:])
    except GarageError as error:
        print(error, file=sys.stderr)
        return 2


def _loaded(place: str) -> Callable[[list[str]], int]:
    """The function at `module:name`. Nothing made while loading is garbage, so looking for some waits until after."""
    module, name = place.split(":")
    gc.disable()
    try:
        return getattr(import_module(module), name)
    finally:
        gc.enable()


def _overview() -> str:
    lines = [f"  {name:8} {about}" for name, (_, about) in COMMANDS.items()]
    return "\n".join(
        [
            "usage: garage COMMAND ...",
            "",
            "Build notebook and garage inventory for fast electric RC boats.",
            "",
            *lines,
            "",
            "garage COMMAND --help tells more.",
        ]
    )
