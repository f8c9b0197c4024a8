"""Making the demo garage's folder on first use."""

from pathlib import Path


def make_demo_garage(folder: Path) -> bool:
    """Make the invented garage in `folder` unless it is there already. True if it was made."""
    raise NotImplementedError
