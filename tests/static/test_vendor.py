"""The vendored files are the ones the manifest names, byte for byte."""

import base64
import hashlib
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FILES = tomllib.loads((ROOT / "static/vendor/MANIFEST.toml").read_text())["file"]
VENDOR_FOLDERS = [ROOT / "static/vendor", ROOT / "tests/vendor"]


@pytest.mark.parametrize("entry", FILES, ids=lambda e: e["name"])
def test_file_has_the_hash_the_manifest_names(entry):
    content = (ROOT / entry["path"]).read_bytes()
    assert hashlib.sha256(content).hexdigest() == entry["sha256"]
    if "sha384_base64" in entry:
        assert base64.b64encode(hashlib.sha384(content).digest()).decode() == entry["sha384_base64"]


@pytest.mark.parametrize("entry", FILES, ids=lambda e: e["name"])
def test_folder_carries_name_and_version_and_a_licence_lies_beside(entry):
    assert Path(entry["path"]).parent.name == f"{entry['name']}@{entry['version']}"
    licence = ROOT / entry["licence_path"]
    assert licence.parent == (ROOT / entry["path"]).parent
    assert len(licence.read_text()) > 300


def test_no_vendored_folder_is_missing_from_the_manifest():
    named = {(ROOT / entry["path"]).parent for entry in FILES}
    found = {folder for vendor in VENDOR_FOLDERS for folder in vendor.iterdir() if folder.is_dir()}
    assert found == named


def test_stylesheet_uses_the_vendored_font_and_no_other_host():
    css = (ROOT / "static/garage.css").read_text()
    assert f'url("/{FILES[1]["path"]}")' in css
    assert "://" not in css
