"""One ledger of all that a run rests on; mendings, each with all that it did; two things that are one; what is not known
of a run, whether its speed counts, and how the speed was typed; corrections of more kinds of rows."""

import sqlalchemy as sa

from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

_UTC = "'[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'"
_OWNERS = (
    "'state', 'change', 'step', 'run', 'outing', 'edition', 'modification', 'pack', 'pack_log', 'reading', "
    "'prop', 'water', 'part'"
)


def upgrade() -> None:
    _create_mending()
    _create_same_thing()
    _create_run_move()
    _widen_corrections()
    for column in ("not_known", "speed_typed"):
        op.execute(f"ALTER TABLE run ADD COLUMN {column} VARCHAR DEFAULT '' NOT NULL")
    op.execute(
        "ALTER TABLE run ADD COLUMN speed_counts VARCHAR DEFAULT '' NOT NULL "
        "CONSTRAINT ck_run_speed_counts CHECK (speed_counts IN ('', 'counts', 'does not count', 'not known'))"
    )


def _create_mending() -> None:
    op.create_table(
        "mending",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("said", sa.String(), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.Column("steps", sa.String(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("takes_back_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(f"at IS NULL OR at GLOB {_UTC}", name=op.f("ck_mending_at")),
        sa.ForeignKeyConstraint(["takes_back_id"], ["mending.id"], name=op.f("fk_mending_takes_back_id_mending")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_mending")),
    )
    op.create_index("ix_mending_takes_back_id", "mending", ["takes_back_id"], unique=True)


def _create_same_thing() -> None:
    op.create_table(
        "same_thing",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("gone_id", sa.Integer(), nullable=False),
        sa.Column("kept_id", sa.Integer(), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("parted_at", sa.String(), nullable=True),
        sa.Column("mending_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "kind IN ('pack', 'prop', 'edition', 'water', 'part')", name=op.f("ck_same_thing_kind")
        ),
        *(
            sa.CheckConstraint(f"{name} IS NULL OR {name} GLOB {_UTC}", name=op.f(f"ck_same_thing_{name}"))
            for name in ("at", "parted_at")
        ),
        sa.CheckConstraint("gone_id <> kept_id", name=op.f("ck_same_thing_two")),
        sa.ForeignKeyConstraint(["mending_id"], ["mending.id"], name=op.f("fk_same_thing_mending_id_mending")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_same_thing")),
    )
    op.create_index("ix_same_thing_kept_id", "same_thing", ["kept_id"], unique=False)
    op.create_index(
        "ix_same_thing_gone", "same_thing", ["kind", "gone_id"], unique=True, sqlite_where=sa.text("parted_at IS NULL")
    )


def _create_run_move() -> None:
    op.create_table(
        "run_move",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("run_id", sa.Integer(), nullable=False),
        sa.Column("what", sa.String(), nullable=False),
        sa.Column("from_value", sa.String(), nullable=False),
        sa.Column("to_value", sa.String(), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("mending_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "what IN ('state', 'boat', 'outing', 'number', 'start', 'packs', 'props')", name=op.f("ck_run_move_what")
        ),
        sa.CheckConstraint(f"at IS NULL OR at GLOB {_UTC}", name=op.f("ck_run_move_at")),
        sa.ForeignKeyConstraint(["mending_id"], ["mending.id"], name=op.f("fk_run_move_mending_id_mending")),
        sa.ForeignKeyConstraint(["run_id"], ["run.id"], name=op.f("fk_run_move_run_id_run")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_run_move")),
    )
    op.create_index("ix_run_move_run_id_what", "run_move", ["run_id", "what"], unique=False)
    # Until now the ledger knew of build states alone.
    op.execute(
        "INSERT INTO run_move (id, run_id, what, from_value, to_value, why, at) SELECT id, run_id, 'state', "
        "CAST(from_state_id AS TEXT), CAST(to_state_id AS TEXT), why, at FROM pin_move ORDER BY id"
    )
    op.drop_table("pin_move")


def _widen_corrections() -> None:
    op.drop_index("ix_correction_owner_owner_id", "correction")
    with op.batch_alter_table("correction") as batch_op:
        batch_op.drop_constraint(op.f("ck_correction_owner"), type_="check")
        batch_op.create_check_constraint(op.f("ck_correction_owner"), f"owner IN ({_OWNERS})")
        batch_op.add_column(sa.Column("mending_id", sa.Integer(), nullable=True))
        batch_op.create_foreign_key(op.f("fk_correction_mending_id_mending"), "mending", ["mending_id"], ["id"])
    op.create_index("ix_correction_owner_owner_id", "correction", ["owner", "owner_id"], unique=False)


def downgrade() -> None:
    raise NotImplementedError("the snapshot made before the upgrade is the way back")
