"""Tables made from lists of fields: columns, CHECKs, and what the type checker is told of them."""

import ast
import inspect
import re
import sqlite3
import sys
from pathlib import Path

import pytest
from sqlalchemy import CheckConstraint
from sqlmodel import Field as Column
from sqlmodel import SQLModel

import garage.schema  # noqa: F401
from garage.fields.definition import Field
from garage.fields.table import FieldTable, checks, python_type


@pytest.mark.parametrize(
    ("field", "kept"),
    [
        (Field("a", "A"), str),
        (Field("a", "A", "long text"), str),
        (Field("a", "A", "choice", choices=("x", "y")), str),
        (Field("a", "A", "date"), str),
        (Field("a", "A", "yes/no"), bool),
        (Field("a", "A", "whole"), int | None),
        (Field("a", "A", "whole", default=1), int),
        (Field("a", "A", "rating"), int | None),
        (Field("a", "A", "number"), float | None),
        (Field("a", "A", "mass"), float | None),
        (Field("a", "A", "mass", required=True), float),
        (Field("a", "A", "moment"), str | None),
        (Field("a", "A", "moment", required=True), str),
    ],
)
def test_what_is_left_open_is_empty_text_or_none(field, kept):
    assert python_type(field) == kept


@pytest.mark.parametrize(
    ("field", "column"),
    [
        (Field("length", "L", "length"), "length_mm"),
        (Field("speed", "S", "speed"), "speed_kmh"),
        (Field("air", "A", "temperature"), "air_c"),
        (Field("resistance", "R", "resistance"), "resistance_mohm"),
        (Field("kv_stated", "K", "kv"), "kv_stated"),
        (Field("started", "S", "moment"), "started_at"),
        (Field("notes", "N", "long text"), "notes"),
        (Field("cut_off", "C", "voltage", column="cut_off_v_per_cell"), "cut_off_v_per_cell"),
    ],
)
def test_a_column_names_its_unit(field, column):
    assert field.column == column


def test_the_columns_of_a_list_stand_behind_the_id_and_refuse_what_is_out_of_bounds():
    fields = (
        Field("code", "Code", required=True, unique=True),
        Field("mass", "Mass", "mass", low=1, high=9),
        Field("colour", "Colour", "choice", choices=("red", "it's")),
        Field("plain", "Plain", "whole", low=1, checked=False),
    )

    class Invented(FieldTable, table=True, fields=fields):
        __table_args__ = ({"extend_existing": True},)
        id: int = Column(default=None, primary_key=True)
        created_at: str = ""

    table = SQLModel.metadata.tables["invented"]
    SQLModel.metadata.remove(table)
    assert [column.name for column in table.columns] == ["id", "code", "mass_g", "colour", "plain", "created_at"]
    assert {index.name for index in table.indexes if index.unique} == {"ix_invented_code"}
    assert {str(check.name) for check in table.constraints if isinstance(check, CheckConstraint)} == {
        "ck_invented_mass_g",
        "ck_invented_colour",
    }
    with sqlite3.connect(":memory:") as connection:
        tests = " AND ".join(f"({check.sqltext})" for check in checks(fields))
        holds = f"SELECT {tests} FROM (SELECT ? AS mass_g, ? AS colour)"
        for row in ((5, "red"), (None, ""), (5, "it's")):
            assert connection.execute(holds, row).fetchone() == (1,)
        for row in ((10, "red"), ("x", "red"), (5, "blue")):
            assert connection.execute(holds, row).fetchone() == (0,)
    assert Invented(code="A").colour == "" and Invented(code="A").mass_g is None


def test_every_check_reads_the_same_in_the_tables_and_in_the_file(empty_file: Path):
    with sqlite3.connect(empty_file) as connection:
        file = dict(connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'table'"))
    plain = {name: re.sub(r"[\s\"]", "", sql or "") for name, sql in file.items()}
    checked = [
        (table.name, f"CONSTRAINT{check.name}CHECK({re.sub(chr(92) + 's', '', str(check.sqltext))})")
        for table in SQLModel.metadata.tables.values()
        for check in table.constraints
        if isinstance(check, CheckConstraint)
    ]
    assert len(checked) > 100
    assert [check for name, check in checked if check not in plain[name]] == []


@pytest.mark.parametrize("table", FieldTable.__subclasses__(), ids=lambda table: table.__name__)
def test_the_type_checker_is_told_what_the_list_says(table):
    (made,) = ast.parse(inspect.getsource(table)).body
    told = {
        line.target.id: eval(ast.unparse(line.annotation), vars(sys.modules[table.__module__]))
        for block in made.body
        if isinstance(block, ast.If)
        for line in block.body
    }
    assert told and {name: table.__annotations__.get(name) for name in told} == told
