"""Fields that a person adds: what each is, and what stands in them, kept with the things that have them."""

import sqlalchemy as sa

from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

_UTC = "'[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'"


def upgrade() -> None:
    op.create_table(
        "own_field",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("label", sa.String(), nullable=False),
        sa.Column("hint", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("unit", sa.String(), nullable=False),
        sa.Column("choices", sa.String(), nullable=False),
        sa.Column("low", sa.Float(), nullable=True),
        sa.Column("high", sa.Float(), nullable=True),
        sa.Column("step", sa.Float(), nullable=True),
        sa.Column("prior_percent", sa.Float(), nullable=False),
        sa.Column("evening", sa.Boolean(), nullable=False),
        sa.Column("thing", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("set_aside_at", sa.String(), nullable=True),
        sa.Column("created_at", sa.String(), nullable=False),
        *(
            sa.CheckConstraint(
                f"{name} IS NULL OR (typeof({name}) IN ('integer', 'real'))", name=op.f(f"ck_own_field_{name}")
            )
            for name in ("low", "high", "step")
        ),
        sa.CheckConstraint(
            "prior_percent IS NULL OR (typeof(prior_percent) IN ('integer', 'real')"
            " AND prior_percent >= 0.1 AND prior_percent <= 50)",
            name=op.f("ck_own_field_prior_percent"),
        ),
        sa.CheckConstraint(
            "thing IN ('hull', 'modification', 'pack', 'prop', 'part', 'outing', 'run')",
            name=op.f("ck_own_field_thing"),
        ),
        *(
            sa.CheckConstraint(f"{name} IS NULL OR {name} GLOB {_UTC}", name=op.f(f"ck_own_field_{name}"))
            for name in ("set_aside_at", "created_at")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_own_field")),
        sa.UniqueConstraint("thing", "name", name=op.f("uq_own_field_thing_name")),
    )
    set_aside = sa.text("set_aside_at IS NOT NULL")
    op.create_index("ix_bin_own_field", "own_field", ["set_aside_at"], unique=False, sqlite_where=set_aside)
    for table in ("modification", "pack", "prop", "part", "outing", "run"):
        op.add_column(table, sa.Column("own_values", sa.String(), nullable=False, server_default="{}"))
    op.add_column("finding", sa.Column("own_causes", sa.String(), nullable=False, server_default="[]"))


def downgrade() -> None:
    raise NotImplementedError("the snapshot made before the upgrade is the way back")
