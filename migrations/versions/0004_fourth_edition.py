"""A mark for each build state: two words of the list by which it is known on pages and on paper; and who did
the last acts, where, and with which form."""

import hashlib
from collections.abc import Iterator
from itertools import count
from pathlib import Path

import sqlalchemy as sa

from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

# The list stays as it is for ever: marks that were given are printed on paper.
_WORDS = Path(__file__).parents[1] / "words.txt"
_BITS = 11


def upgrade() -> None:
    for name in ("path", "who", "number"):
        op.execute(f"ALTER TABLE last_act ADD COLUMN {name} VARCHAR DEFAULT '' NOT NULL")
    for table in ("build_state", "fingerprint"):
        op.execute(f"ALTER TABLE {table} ADD COLUMN mark VARCHAR DEFAULT '' NOT NULL")
    _give_marks()
    for table in ("build_state", "fingerprint"):
        op.create_index(f"ix_{table}_mark", table, ["mark"], unique=True)


def _give_marks() -> None:
    connection = op.get_bind()
    words = _WORDS.read_text(encoding="utf-8").split()
    given: set[str] = set()
    rows = connection.execute(sa.text("SELECT id, fingerprint, state_id FROM fingerprint ORDER BY id")).fetchall()
    for number, fingerprint, state_id in rows:
        mark = next(mark for mark in _marks(fingerprint, words) if mark not in given)
        given.add(mark)
        values = {"mark": mark, "id": number, "state_id": state_id, "fingerprint": fingerprint}
        connection.execute(sa.text("UPDATE fingerprint SET mark = :mark WHERE id = :id"), values)
        connection.execute(
            sa.text("UPDATE build_state SET mark = :mark WHERE id = :state_id AND fingerprint = :fingerprint"), values
        )
    # A state whose fingerprint leads nowhere is a fault that the check names; it has a mark all the same.
    for state_id, fingerprint in connection.execute(
        sa.text("SELECT id, fingerprint FROM build_state WHERE mark = '' ORDER BY id")
    ).fetchall():
        mark = next(mark for mark in _marks(fingerprint, words) if mark not in given)
        given.add(mark)
        connection.execute(
            sa.text("UPDATE build_state SET mark = :mark WHERE id = :id"), {"mark": mark, "id": state_id}
        )


def _marks(fingerprint: str, words: list[str]) -> Iterator[str]:
    for turn in count():
        written = fingerprint if turn == 0 else hashlib.sha256(f"{fingerprint} {turn}".encode()).hexdigest()
        whole = int(written, 16)
        for first in range(0, len(written) * 4 - 2 * _BITS + 1, 2 * _BITS):
            pair = whole >> (len(written) * 4 - first - 2 * _BITS) & (1 << 2 * _BITS) - 1
            one, other = pair >> _BITS, pair & (1 << _BITS) - 1
            if one != other:
                yield f"{words[one]} {words[other]}"


def downgrade() -> None:
    raise NotImplementedError("the snapshot made before the upgrade is the way back")
