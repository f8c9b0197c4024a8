"""The house keeps its floors."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent


def test_no_room_uses_a_room_above_or_beside_it():
    linter = Path(sys.executable).with_name("lint-imports")
    done = subprocess.run([linter], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout[-3000:]


def test_no_import_of_our_own_package_inside_a_function():
    inside = [
        f"{path.relative_to(ROOT)}:{number}"
        for path in sorted((ROOT / "garage").rglob("*.py"))
        for number, line in enumerate(path.read_text().splitlines(), 1)
        if line.startswith(" ") and line.strip().startswith(("from garage", "import garage"))
    ]
    assert inside == []
