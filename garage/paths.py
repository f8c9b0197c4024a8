"""Where the program's own files and the person's data stand."""

from pathlib import Path

from platformdirs import user_data_path

_PACKAGE = Path(__file__).parent
_BUNDLED = _PACKAGE / "_bundled"
# A wheel carries templates and the like inside the package; a checkout has them at its top.
ROOT = _BUNDLED if _BUNDLED.is_dir() else _PACKAGE.parent
TEMPLATES_DIR = ROOT / "templates"
STATIC_DIR = ROOT / "static"
MIGRATIONS_DIR = ROOT / "migrations"
SHARED_DIR = ROOT / "shared"

DATABASE_NAME = "garage.sqlite"
FILES_NAME = "files"
BACKUPS_NAME = "backups"
# Files that no row referred to at some start, kept for a while.
SWEPT_NAME = "swept"


def data_folder(name: str) -> Path:
    """This system's usual place for a garage of ours, `garage` or `demo`."""
    return user_data_path("garage-notebook", appauthor=False) / name
