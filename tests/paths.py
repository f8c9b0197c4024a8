"""Where the files that tests read lie."""

from pathlib import Path

DATA = Path(__file__).parent / "data"
