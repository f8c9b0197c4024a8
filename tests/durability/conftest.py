"""A small garage with a photo, made once and copied for every test."""

import io
import pickle
import shutil
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest
from fastapi import FastAPI
from PIL import Image

from garage.app import create_app
from garage.db.engine import open_engine, writing
from garage.moments import Moment
from garage.paths import DATABASE_NAME, FILES_NAME
from garage.photos.store import add_photo
from garage.schema import THINGS
from garage.settings import Settings
from tests.durability.nursery import Nursery, nursery
from tests.durability.pages import SOME, every_twin
from tests.seeded import with_history


class Chosen:
    """A file as a form hands it over."""

    def __init__(self, content: bytes, filename: str = "hull.png") -> None:
        self.file, self.filename = io.BytesIO(content), filename


def picture(seed: int = 0, size: int = 24) -> bytes:
    """A small picture, another one for every seed."""
    out = io.BytesIO()
    Image.new("RGB", (size, size), (seed % 256, seed // 256 % 256, 90)).save(out, "PNG")
    return out.getvalue()


@pytest.fixture(scope="session")
def small_garage(empty_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A garage with a history and two photos; not to be written to."""
    folder = tmp_path_factory.mktemp("small") / "garage"
    (folder / FILES_NAME).mkdir(parents=True)
    shutil.copy(empty_file, folder / DATABASE_NAME)
    engine = open_engine(folder / DATABASE_NAME)
    with writing(engine) as session:
        garage = with_history(session)
        for seed in (1, 2):
            at = Moment("2026-05-09T12:00:00Z", 0)
            add_photo(
                session,
                folder / FILES_NAME,
                THINGS.thing(session, "hull", garage.hulls["Medlar"]),
                Chosen(picture(seed)),
                at,
            )
    engine.dispose()
    return folder


@pytest.fixture
def garage(small_garage: Path, tmp_path: Path) -> Path:
    """A copy of the small garage, to do anything to."""
    return Path(shutil.copytree(small_garage, tmp_path / "garage"))


@pytest.fixture(scope="session")
def begun() -> Iterator[Nursery]:
    """Servers that start without loading anything first."""
    with nursery() as servers:
        yield servers


@pytest.fixture(scope="session")
def demo_pages(demo_folder: Path, once: Callable, tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """Pages of every kind of the demo as data, by address: what a copy of it is held against."""

    def made(folder: Path, clock: Callable[[], datetime]) -> FastAPI:
        return create_app(Settings(folder, hosts=("testserver",), clock=clock))

    def keep(path: Path) -> None:
        folder = Path(shutil.copytree(demo_folder, tmp_path_factory.mktemp("pages") / "demo"))
        path.write_bytes(pickle.dumps(every_twin(made, folder, SOME)))

    found: dict[str, bytes] = pickle.loads(once("demo_pages.pickle", keep).read_bytes())
    return found
