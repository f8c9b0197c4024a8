"""Figures published elsewhere, to hold computations against; each with how far a pass can be trusted."""

import json
from typing import Any

import pytest

from garage.paths import SHARED_DIR

CHECKS: dict[str, dict[str, Any]] = {
    check["id"]: check for check in json.loads((SHARED_DIR / "reference" / "checks.json").read_text(encoding="utf-8"))
}


def named(check_id: str, *names: str):
    """Parameters for the named figures of one check, with what a pass means in the test's name."""
    origin = CHECKS[check_id]["expected_origin"]
    assert set(names) <= set(CHECKS[check_id]["expected"])
    return [pytest.param(check_id, name, id=f"{check_id} ({origin}): {name}") for name in names]


def value(check_id: str, name: str) -> Any:
    """The published figure itself."""
    return CHECKS[check_id]["expected"][name]["value"]


def holds(computed: Any, check_id: str, name: str) -> bool:
    """Whether `computed` meets the published figure within the tolerance that was given with it."""
    tolerance = CHECKS[check_id]["expected"][name]["tolerance"]
    if tolerance["kind"] == "exact":
        return computed == value(check_id, name)
    allowed = {"abs" if tolerance["kind"] == "abs" else "rel": tolerance["value"]}
    if "rel" in allowed:
        allowed["abs"] = 0.0
    else:
        allowed["rel"] = 0.0
    return computed == pytest.approx(value(check_id, name), **allowed)
