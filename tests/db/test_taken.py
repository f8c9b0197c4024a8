"""Names and codes of which there is only one: the same one in other capitals is refused, its own bearer is not."""

import pytest

THINGS = {
    "a hull": ("/hulls", "name", {"kind": "mono", "length": "69 cm", "screws": "1", "fixed_tube": "yes"}),
    "a prop": (
        "/props", "code", {"size": "42 x 58", "blades": "2", "hand": "right", "condition": "good"},
    ),
    "a pack": ("/packs", "code", {"cells_s": "3", "cells_p": "1", "capacity": "4000"}),
    "a part": ("/drives", "code", {"kind": "motor", "name": "red can"}),
    "a supply": ("/stock/supplies", "code", {"name": "epoxy"}),
    "a water": ("/waters", "name", {}),
    "a driver": ("/drivers", "name", {}),
    "a receiver": ("/receivers", "name", {"kind": "GPS"}),
    "an instrument": ("/instruments", "name", {"kind": "scale"}),
    "a charger": ("/chargers", "name", {}),
    "a supplier": ("/suppliers", "name", {}),
}  # fmt: skip


def _form(kind: str) -> tuple[str, str, dict[str, str], str]:
    address, field, others = THINGS[kind]
    return address, field, others, "?kind=motor" if kind == "a part" else ""


@pytest.mark.parametrize("kind", THINGS)
@pytest.mark.parametrize("again", ["Über9", "über9", "Über9 "])
def test_what_is_taken_is_refused_in_words_not_with_a_fault(client, kind, again):
    address, field, others, asked = _form(kind)
    first = client.post(f"{address}/new{asked}", data={**others, field: again.strip()})
    assert first.status_code == 200
    second = client.post(f"{address}/new{asked}", data={**others, field: again})
    assert second.status_code == 422
    assert "already" in second.text or "is taken" in second.text


@pytest.mark.parametrize("kind", THINGS)
def test_one_in_other_capitals_is_the_same(client, kind):
    address, field, others, asked = _form(kind)
    assert client.post(f"{address}/new{asked}", data={**others, field: "Ab9"}).status_code == 200
    assert client.post(f"{address}/new{asked}", data={**others, field: "aB9"}).status_code == 422


@pytest.mark.parametrize("kind", THINGS)
def test_its_own_name_can_be_written_in_other_capitals_but_not_another_ones(client, kind):
    address, field, others, asked = _form(kind)
    for written in ("Ab9", "Cd9"):
        assert client.post(f"{address}/new{asked}", data={**others, field: written}).status_code == 200
    edit = "" if kind == "a water" else "/edit"
    assert client.post(f"{address}/1{edit}", data={**others, field: "AB9"}).status_code == 200
    assert "AB9" in client.get(address).text
    assert client.post(f"{address}/2{edit}", data={**others, field: "ab9"}).status_code == 422
