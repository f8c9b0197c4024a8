"""A garage with one of each thing, for all tests of a module: none of them takes anything away."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from starlette.testclient import TestClient

from garage.app import create_app
from garage.paths import DATABASE_NAME
from garage.settings import Settings
from tests.conftest import NOW


@pytest.fixture(scope="module")
def garage(app_of_module) -> Iterator[httpx.Client]:
    """One of each."""
    with TestClient(app_of_module, follow_redirects=True) as client:
        client.post("/hulls/new", data={"name": "Quince", "kind": "mono", "built_on": "2026-01-01"})
        prop = {"code": "P1", "size": "42 x 58", "blades": "2", "hand": "right", "condition": "good"}
        client.post("/props/new", data=prop)
        client.post("/hulls/1/modifications/new", data={"title": "Trim tabs", "permanence": "removable"})
        client.post("/packs/new", data={"code": "J", "cells_s": "3", "capacity": "4000"})
        client.post("/drives/new?kind=motor", data={"code": "M1"})
        client.post("/waters/new", data={"name": "Hollow Mere"})
        client.post("/outings/new", data={"water": "1", "started": "2026-05-09T10:00"})
        client.post("/runs/new", data={"hull": "1", "outing": "1", "pack": "1", "speed": "80"})
        yield client


@pytest.fixture(scope="module")
def app_of_module(empty_file: Path, tmp_path_factory: pytest.TempPathFactory):
    """The app on an empty garage, for a whole module."""
    folder = tmp_path_factory.mktemp("own")
    shutil.copy(empty_file, folder / DATABASE_NAME)
    return create_app(Settings(folder, hosts=("testserver",), clock=lambda: NOW))
