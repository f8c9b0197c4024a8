"""The description of the data, to hold answers against: which path an address goes by, and what may stand there."""

import re
from collections.abc import Mapping
from typing import Any

from jsonschema import Draft202012Validator
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT202012


def validators_of(description: Mapping[str, Any]) -> dict[tuple[str, int], Draft202012Validator]:
    """A validator of the JSON that stands at a path, by path and status."""
    registry = Registry().with_resource("urn:description", Resource(description, DRAFT202012))
    found = {}
    for path, item in description["paths"].items():
        for status, answer in item["get"]["responses"].items():
            if "application/json" in answer["content"]:
                place = f"{path.replace('/', '~1')}/get/responses/{status}/content/application~1json/schema"
                found[path, int(status)] = Draft202012Validator(
                    {"$ref": f"urn:description#/paths/{place}"}, registry=registry
                )
    return found


def patterns_of(paths: Mapping[str, Any]) -> dict[str, re.Pattern]:
    """What addresses look like that go by a path."""
    return {path: re.compile(re.sub(r"\{\w+\}", "[^/]+", path.replace(".", r"\."))) for path in paths}


def path_of(patterns: Mapping[str, re.Pattern], address: str) -> str:
    """The path that describes an address; one without a name in it comes before one with."""
    fitting = [path for path, pattern in patterns.items() if pattern.fullmatch(address)]
    return min(fitting, key=lambda path: path.count("{"))
