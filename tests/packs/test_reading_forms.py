"""What may be typed of a pack, its log, its cells, its damage and its sets; both sides of every bound."""

import json
from datetime import UTC, datetime

import pytest

from garage.packs import forms
from garage.units import DisplayUnits
from garage.web.fields import FormErrors, Reader

METRIC = DisplayUnits.metric()
AT = "2026-05-09 10:00"


def _reader(**typed: str) -> Reader:
    return Reader(typed, METRIC, datetime(2026, 5, 9, 14, 30, tzinfo=UTC))


def _refused(read, *rest, **typed: str) -> list[str]:
    """The fields that have a message."""
    try:
        read(_reader(**typed), *rest)
    except FormErrors as refused:
        return sorted(refused.errors)
    return []


PACK = {"code": "J", "cells_s": "3", "capacity": "4000", "full_v_per_cell": "4.2"}


@pytest.mark.parametrize(
    ("more", "beside"),
    [
        ({}, []), ({"capacity_measured": "6000"}, []), ({"capacity_measured": "6001"}, ["capacity_measured"]),
        ({"bought_on": "2026-05-02", "first_charged_on": "2026-05-02"}, []),
        ({"bought_on": "2026-05-02", "first_charged_on": "2026-05-01"}, ["first_charged_on"]),
        ({"first_charged_on": "2026-05-01"}, []), ({"bought_on": "2026-05-01"}, []),
        ({"code": ""}, ["code"]), ({"break_in_c": "0.09"}, ["break_in_c"]), ({"break_in_c": "0.1"}, []),
    ],
)  # fmt: skip
def test_a_pack_goes_with_itself(more, beside):
    assert _refused(forms.read_pack, **PACK | more) == beside


@pytest.mark.parametrize(
    ("typed", "beside"),
    [
        ({"kind": "bench"}, []), ({"kind": "look"}, ["volts"]), ({"kind": "look", "volts": "3.8 3.8 3.8"}, []),
        ({"kind": "capacity"}, ["charge"]), ({"kind": "capacity", "charge": "8000"}, []),
        ({"kind": "charge", "charge": "8001"}, ["charge"]), ({"kind": "bench", "volts": "3.8 3.8"}, ["volts"]),
        ({"kind": "bench", "charge": "0.5"}, ["charge"]), ({"kind": "bench", "temperature": "150"}, []),
        ({"kind": "bench", "temperature": "151"}, ["temperature"]), ({"kind": "run"}, ["kind"]), ({}, ["kind"]),
    ],
)  # fmt: skip
def test_an_entry_of_the_log_goes_with_its_pack(typed, beside):
    assert _refused(forms.read_log_entry, 3, 4000.0, **{"at": AT} | typed) == beside


def test_an_entry_keeps_the_volts_as_a_list_and_none_as_nothing():
    kept = forms.read_log_entry(_reader(at=AT, kind="look", volts="3.8; 3.81; 3,82"), 3, 4000.0)
    assert json.loads(kept["volts"]) == [3.8, 3.81, 3.82] and kept["kind"] == "look"
    assert forms.kept_volts(()) == "" and forms.kept_volts((3.8,)) == "[3.8]"


@pytest.mark.parametrize(
    ("volts", "fits"),
    [
        ("2.5 4.5", True), ("2.49 4.0", False), ("4.0 4.51", False), ("3.8", False), ("3.8 3.8 3.8", False),
        ("3.8, 3.9", True), ("3800 mV; 3900 mV", True), ("3.8/3.9", True), ("3.8\t3.9", True), ("high low", False),
    ],
)  # fmt: skip
def test_resting_volts_are_one_for_each_cell_between_flat_and_over_full(volts, fits):
    reader = _reader(volts=volts.replace("\t", " "))
    read = forms.read_volts(reader, "volts", 2)
    assert (reader.errors == {}) == fits
    assert len(read) == 2 or not fits
    assert forms.read_volts(_reader(), "volts", 2) == ()


@pytest.mark.parametrize(
    ("cells", "fits"),
    [("0.05 150", True), ("0.049 2", False), ("2 150.1", False), ("2 mΩ; 0.002 Ω", True), ("2", False), ("", False)],
)
def test_a_resistance_reading_has_one_figure_for_each_cell_of_any_size(cells, fits):
    beside = _refused(forms.read_reading, 2, cells=cells, method="AC 1 kHz", at=AT)
    assert beside == ([] if fits else ["cells"])


def test_a_resistance_reading_is_kept_with_its_conditions():
    typed = {"cells": "2.1 2.2", "method": "AC 1 kHz", "at": AT, "temperature": "21", "rest": "60", "volts": "3.8 3.9"}
    kept = forms.read_reading(_reader(**typed), 2)
    assert (json.loads(kept["cells_mohm"]), json.loads(kept["volts"])) == ([2.1, 2.2], [3.8, 3.9])
    assert (kept["temperature_c"], kept["rest_min"], kept["method"]) == (21, 60, "AC 1 kHz")
    for lacking in ("method", "at"):
        assert _refused(forms.read_reading, 2, **typed | {lacking: ""}) == [lacking]


@pytest.mark.parametrize(
    ("codes", "found"),
    [
        ("F + G", ["F", "G"]), ("F,G;H & I", ["F", "G", "H", "I"]), ("F f", None), ("F", None), ("", None), ("+", None),
        ("A B C D E F G H", list("ABCDEFGH")), ("A B C D E F G H I", None),
    ],
)  # fmt: skip
def test_a_set_has_two_to_eight_different_packs(codes, found):
    typed = {"name": "Twins", "wiring": "series", "codes": codes}
    if found is None:
        assert _refused(forms.read_set, **typed) == ["codes"]
    else:
        assert forms.read_set(_reader(**typed)).codes == found


def test_damage_is_signs_and_words_and_comes_off_only_with_a_reason():
    def read(ticked: list[str], before: str = "", **typed: str) -> tuple[str, str]:
        found = forms.read_damage(_reader(**typed), ticked, before)
        return found.damage, found.why

    assert read(["wet", "puffed"], words="after a flip") == ("puffed, wet: after a flip", "")
    assert read(["wet"]) == ("wet", "") and read([], words="dropped") == ("dropped", "")
    assert read([], "wet", why="dried for a week") == ("", "dried for a week")
    assert _refused(forms.read_damage, [], "") == ["words"]
    assert _refused(forms.read_damage, [], "wet") == ["why"]
    assert _refused(forms.read_damage, ["on fire"], "wet", words="x") == ["signs"]
    for name in ("words", "why"):
        assert _refused(forms.read_damage, ["wet"], "", **{name: "x" * 300}) == []
        assert _refused(forms.read_damage, ["wet"], "", **{name: "x" * 301}) == [name]
