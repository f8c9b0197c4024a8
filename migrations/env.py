"""Alembic's environment: the connection and the transaction are given by garage.db.migrate."""

from alembic import context
from sqlmodel import SQLModel

import garage.schema  # noqa: F401  (registers every room's tables)


def _ours(name, type_, _parent_names) -> bool:
    # Full-text tables are virtual and keep shadow tables of their own; metadata knows neither.
    return not (type_ == "table" and name and name.startswith("search_text"))


context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=SQLModel.metadata,
    render_as_batch=True,
    include_name=_ours,
    transactional_ddl=False,
)
context.run_migrations()
