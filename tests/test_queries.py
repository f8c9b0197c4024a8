"""The counter of statements counts what is asked, tells what was asked before, and keeps to its block."""

from sqlalchemy import text
from sqlmodel import Session

from tests.queries import MOST_ON_A_PAGE, Count, Statements, counted, kind_of, lines


def test_statements_are_counted_and_those_asked_before_told_apart(app):
    with counted(app.state.engine) as statements, Session(app.state.engine) as session:
        for number in (1, 1, 2):
            session.exec(text("SELECT :number"), params={"number": number})
        session.exec(text("SELECT 3"))
    assert (len(statements), statements.again, statements.alike) == (4, 1, 2)
    assert statements.table()[0][:2] == (3, 2)


def test_nothing_is_counted_outside_the_block_and_no_bounds_of_transactions(app):
    with counted(app.state.engine) as statements:
        pass
    with Session(app.state.engine) as session:
        session.exec(text("SELECT 1"))
    with counted(app.state.engine) as begun, app.state.engine.connect() as connection:
        connection.exec_driver_sql("SAVEPOINT one")
    assert len(statements) == len(begun) == 0


def test_what_a_page_asks_is_counted(app, client):
    with counted(app.state.engine) as statements:
        assert client.get("/hulls").status_code == 200
    assert any("FROM hull" in words for _, _, words in statements.table())


def test_a_page_is_over_for_too_many_statements_or_one_asked_twice():
    many = Statements([(f"SELECT {number}", "()") for number in range(MOST_ON_A_PAGE)])
    assert not Count("/", "/", 200, many, MOST_ON_A_PAGE).is_over
    assert Count("/", "/", 200, many, MOST_ON_A_PAGE - 1).is_over
    assert Count("/", "/", 200, Statements([("SELECT 1", "()")] * 2), MOST_ON_A_PAGE).is_over


def test_kinds_leave_out_numbers_and_the_table_begins_with_the_worst():
    assert kind_of("/hulls/12?way=x&page=2") == kind_of("/hulls/3?page=1&way=y") == "/hulls/N?page&way"
    few, many = (Statements([("SELECT 1", str(number)) for number in range(size)]) for size in (2, 40))
    table = lines([Count("/few", "/few", 200, few, 25), Count("/many", "/many", 200, many, 25)])
    assert "/many" in table[1] and table[1].startswith("*") and "/few" in table[2] and table[-1].startswith("1 of 2")
