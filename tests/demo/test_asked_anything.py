"""The demo's data asked for all sorts of things that its description allows: no fault, and every answer as described."""

import pytest
import schemathesis
from hypothesis import given, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

EXAMPLES = 12
HOST = {"host": "testserver"}
CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance]


def _hold(operation) -> None:
    @settings(max_examples=EXAMPLES)
    @given(operation.as_strategy())
    def ask(case) -> None:
        case.validate_response(case.call(headers=HOST), checks=CHECKS)

    ask()


@pytest.mark.long
def test_no_address_fails_whatever_it_is_asked(demo_client):
    described = schemathesis.openapi.from_asgi("/openapi.json", demo_client.app, headers=HOST)
    faults, asked = [], 0
    for found in described.get_all_operations():
        operation = found.ok()
        assert operation.method == "get"
        asked += 1
        try:
            _hold(operation)
        except Exception as fault:
            faults.append(f"{operation.path}: {str(fault)[:600]}")
    assert faults == []
    assert asked > 150
