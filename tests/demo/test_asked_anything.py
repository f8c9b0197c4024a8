"""The demo's data asked for all that its description allows, at random: no fault, and every answer as described."""

import pytest
from hypothesis import given, settings

from tests.described import validators_of
from tests.late import Late

schemathesis = Late("schemathesis")
checks, answers = Late("schemathesis.checks"), Late("schemathesis.specs.openapi.checks")

EXAMPLES = 12
HOST = {"host": "testserver"}


def _hold(operation, validators) -> None:
    held = [checks.not_a_server_error, answers.status_code_conformance, answers.content_type_conformance]

    @settings(max_examples=EXAMPLES)
    @given(operation.as_strategy())
    def ask(case) -> None:
        answer = case.call(headers=HOST)
        case.validate_response(answer, checks=held)
        # Held against the schema here: Schemathesis rewrites rows of mixed cells into what its validator refuses.
        if (operation.path, answer.status_code) in validators:
            validators[operation.path, answer.status_code].validate(answer.json())

    ask()


@pytest.mark.long
def test_no_address_fails_whatever_it_is_asked(demo_client):
    described = schemathesis.openapi.from_asgi("/openapi.json", demo_client.app, headers=HOST)
    validators = validators_of(demo_client.get("/openapi.json").json())
    faults, asked = [], 0
    for found in described.get_all_operations():
        operation = found.ok()
        assert operation.method == "get"
        asked += 1
        try:
            _hold(operation, validators)
        except Exception as fault:
            faults.append(f"{operation.path}: {str(fault)[:600]}")
    assert faults == []
    assert asked > 150
