"""Corrections: kept beside what they mend."""

import pytest
from sqlalchemy.exc import IntegrityError

from garage.corrections.sheets import mended
from garage.corrections.store import add_correction, corrections_of
from garage.moments import Moment

AT = Moment("2026-05-09T14:30:00Z", 0)
LATER = Moment("2026-05-10T14:30:00Z", 0)


def test_the_corrections_of_a_field_are_told_in_the_order_they_were_written(session):
    add_correction(session, "run", 7, "speed_kmh", "82", "83", "misread", AT)
    add_correction(session, "run", 7, "speed_kmh", "83", "84", "misread again", LATER)
    rows = corrections_of(session, "run", [7])[7]
    assert [(line.old, line.new, line.why) for line in map(mended, rows)] == [
        ("82", "83", "misread"),
        ("83", "84", "misread again"),
    ]


def test_corrections_of_one_kind_of_row_are_not_those_of_another(session):
    add_correction(session, "run", 7, "note", "", "x", "", AT)
    add_correction(session, "step", 7, "note", "", "y", "", AT)
    assert [row.new for row in corrections_of(session, "step", [7, 8])[7]] == ["y"]
    assert 8 not in corrections_of(session, "step", [7, 8])


def test_many_rows_are_asked_for_at_once(session):
    add_correction(session, "run", 39_999, "note", "", "x", "", AT)
    assert list(corrections_of(session, "run", range(40_000))) == [39_999]


def test_a_kind_of_row_that_is_never_corrected_is_refused(session):
    with pytest.raises(IntegrityError):
        add_correction(session, "hull", 1, "name", "a", "b", "", AT)
    session.rollback()
