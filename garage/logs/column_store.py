"""Queries and writes of which column is what in a table, remembered by its headings."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict

from sqlmodel import Session

from garage.logs.readers.columns import Picked
from garage.logs.tables import LogColumns
from garage.moments import Moment


def remembered_columns(session: Session, key: str) -> dict[str, Picked] | None:
    """Which column is what in a table with those headings, if a person has said so before."""
    row = session.get(LogColumns, key)
    return {role: Picked(**picked) for role, picked in json.loads(row.columns).items()} if row else None


def remember_columns(
    session: Session, key: str, headings: Iterable[str], columns: Mapping[str, Picked], at: Moment
) -> None:
    """Remember which column is what."""
    told = json.dumps({role: asdict(picked) for role, picked in columns.items()})
    session.merge(LogColumns(key=key, headings=json.dumps(list(headings)), columns=told, created_at=at.utc))
