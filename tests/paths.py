"""Where the files that tests read lie."""

from pathlib import Path

ROOT = Path(__file__).parent.parent
DATA = ROOT / "tests" / "data"
