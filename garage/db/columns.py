"""What every room's tables share: names of constraints, and checks that SQLite alone would let slip.

SQLite compares text above any number, so `CHECK (x > 0)` passes 'abc': a number's check tests its type as well.
"""

from sqlalchemy import CheckConstraint
from sqlmodel import SQLModel

SQLModel.metadata.naming_convention = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
# A row of a table is never validated on its way in; what would do so is made only if somebody asks for it.
SQLModel.model_config["defer_build"] = True


def number_check(column: str, low: float | None = None, high: float | None = None) -> CheckConstraint:
    """A column that is empty or a number from `low` to `high` (both allowed themselves)."""
    tests = [f"typeof({column}) IN ('integer', 'real')"]
    if low is not None:
        tests.append(f"{column} >= {low}")
    if high is not None:
        tests.append(f"{column} <= {high}")
    return CheckConstraint(f"{column} IS NULL OR ({' AND '.join(tests)})", name=column)


def choice_check(column: str, choices: tuple[str, ...]) -> CheckConstraint:
    """A text column that holds one of `choices`; the empty text counts only if it is among them."""
    quoted = ", ".join("'" + choice.replace("'", "''") + "'" for choice in choices)
    return CheckConstraint(f"{column} IN ({quoted})", name=column)


def utc_check(column: str) -> CheckConstraint:
    """A column that is empty or a moment in UTC as text, `YYYY-MM-DDTHH:MM:SSZ`, which sorts as time does."""
    digits = "[0-9]"
    pattern = f"{digits * 4}-{digits * 2}-{digits * 2}T{digits * 2}:{digits * 2}:{digits * 2}Z"
    return CheckConstraint(f"{column} IS NULL OR {column} GLOB '{pattern}'", name=column)
