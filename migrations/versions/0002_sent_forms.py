"""Forms that were sent, by their one-time number, so that a form that is sent twice writes once."""

import sqlalchemy as sa

from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "sent_form",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("typed", sa.String(), nullable=False),
        sa.Column("url", sa.String(), nullable=False),
        sa.Column("said", sa.String(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("taken_back_at", sa.String(), nullable=True),
        sa.CheckConstraint("length(number) = 32", name=op.f("ck_sent_form_number")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_sent_form")),
    )
    with op.batch_alter_table("sent_form", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_sent_form_act_id"), ["act_id"], unique=False)


def downgrade() -> None:
    raise NotImplementedError("the snapshot made before the upgrade is the way back")
