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


def test_modules_are_imported_by_name_in_one_place_only():
    by_name = {
        str(path.relative_to(ROOT))
        for path in (ROOT / "garage").rglob("*.py")
        if "import_module" in path.read_text() or "__import__" in path.read_text()
    }
    assert by_name == {"garage/loading.py"}


def test_only_those_who_stand_above_it_name_what_is_imported_later():
    """What is named is above nobody who names it, as the contract of the floors has it for plain imports."""
    named = {
        str(path.relative_to(ROOT / "garage"))
        for path in (ROOT / "garage").rglob("*.py")
        if "from garage.loading import loaded" in path.read_text()
    }
    assert named == {"cli.py", "app.py", "web/late.py", "bench/catalog.py", "api/__init__.py"}
