"""Forms that were sent, so that none writes twice; figures that a log contradicts itself in, by run."""

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
        sa.Column("path", sa.String(), nullable=False),
        sa.Column("url", sa.String(), nullable=False),
        sa.Column("said", sa.String(), nullable=False),
        sa.Column("undo", sa.String(), nullable=False),
        sa.Column("act_id", sa.Integer(), nullable=True),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("taken_back_at", sa.String(), nullable=True),
        sa.CheckConstraint("length(number) = 32", name=op.f("ck_sent_form_number")),
        sa.PrimaryKeyConstraint("number", "typed", name=op.f("pk_sent_form")),
    )
    with op.batch_alter_table("sent_form", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_sent_form_act_id"), ["act_id"], unique=False)
    op.create_table(
        "denied_speed",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("run_id", sa.Integer(), nullable=False),
        sa.Column("log_id", sa.Integer(), nullable=False),
        sa.Column("speed_kmh", sa.Float(), nullable=False),
        sa.Column("receiver_kmh", sa.Float(), nullable=True),
        sa.Column("places_kmh", sa.Float(), nullable=True),
        sa.Column("is_news", sa.Boolean(), nullable=False),
        sa.CheckConstraint(
            "speed_kmh IS NULL OR (typeof(speed_kmh) IN ('integer', 'real') AND speed_kmh >= 0)",
            name=op.f("ck_denied_speed_speed_kmh"),
        ),
        sa.ForeignKeyConstraint(["log_id"], ["log_file.id"], name=op.f("fk_denied_speed_log_id_log_file")),
        sa.ForeignKeyConstraint(["run_id"], ["run.id"], name=op.f("fk_denied_speed_run_id_run")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_denied_speed")),
        sa.UniqueConstraint("run_id", "log_id", "speed_kmh", name=op.f("uq_denied_speed_run_id_log_id_speed_kmh")),
    )


def downgrade() -> None:
    raise NotImplementedError("the snapshot made before the upgrade is the way back")
