"""Who did the last acts, where, and with which form."""

from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    for name in ("path", "who", "number"):
        op.execute(f"ALTER TABLE last_act ADD COLUMN {name} VARCHAR DEFAULT '' NOT NULL")
