"""Fields that a person adds, with what stands in them; loans in a table of their own; the end of a hull, a pack, a prop,
a part and a water with day and how; hulls on the shelf; receipts."""

import sqlalchemy as sa

from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

_UTC = "'[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'"


def upgrade() -> None:
    _create_own_fields()
    _create_loan()
    for table in ("receiver", "instrument", "charger"):
        _move_loans(table)
    _ask_how_things_end()
    _keep_hulls()
    op.execute(
        "ALTER TABLE attachment ADD COLUMN role VARCHAR DEFAULT '' NOT NULL "
        "CONSTRAINT ck_attachment_role CHECK (role IN ('', 'receipt'))"
    )


def _create_own_fields() -> None:
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


def _create_loan() -> None:
    op.create_table(
        "loan",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("lent_to", sa.String(), nullable=False),
        sa.Column("lent_on", sa.String(), nullable=False),
        sa.Column("lent_until", sa.String(), nullable=False),
        sa.Column("back_on", sa.String(), nullable=False),
        sa.Column("owner", sa.String(), nullable=False),
        sa.Column("owner_id", sa.Integer(), nullable=False),
        sa.Column("set_aside_at", sa.String(), nullable=True),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(f"created_at IS NULL OR created_at GLOB {_UTC}", name=op.f("ck_loan_created_at")),
        sa.CheckConstraint(
            "owner IN ('hull', 'prop', 'pack', 'part', 'receiver', 'instrument', 'charger')",
            name=op.f("ck_loan_owner"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_loan")),
    )
    op.create_index("ix_loan_owner_owner_id", "loan", ["owner", "owner_id"], unique=False)
    set_aside = sa.text("set_aside_at IS NOT NULL")
    op.create_index("ix_bin_loan", "loan", ["set_aside_at"], unique=False, sqlite_where=set_aside)


def _move_loans(table: str) -> None:
    # Since when a thing was lent was not asked for.
    op.execute(
        "INSERT INTO loan (lent_to, lent_on, lent_until, back_on, owner, owner_id, created_at) "
        f"SELECT lent_to, '', lent_until, '', '{table}', id, created_at FROM {table} "
        "WHERE lent_to <> '' OR lent_until <> '' ORDER BY id"
    )
    # Not as a batch, which would make the table anew with its checks in an order of their own.
    for column in ("lent_to", "lent_until"):
        op.execute(f"ALTER TABLE {table} DROP COLUMN {column}")


def _ask_how_things_end() -> None:
    ways = {
        "hull": "'sold', 'wrecked', 'lost', 'given away', 'worn out', 'taken apart', 'other'",
        "pack": "'worn out', 'damaged', 'sold', 'given away', 'lost', 'handed in at a collecting point', 'other'",
        "prop": "'sold', 'broken', 'lost', 'given away', 'worn out', 'other'",
        "part": "'sold', 'burnt out', 'broken', 'lost', 'given away', 'worn out', 'other'",
        "water": "'closed to boats', 'no longer gone to', 'other'",
    }
    # Of what went before, how is not said.
    for table, known in ways.items():
        check = f"CONSTRAINT ck_{table}_retired_how CHECK (retired_how IN ('', {known}))"
        op.execute(f"ALTER TABLE {table} ADD COLUMN retired_how VARCHAR DEFAULT '' NOT NULL {check}")
    op.execute("ALTER TABLE water ADD COLUMN retired_reason VARCHAR DEFAULT '' NOT NULL")
    op.create_index("ix_water_retired_on", "water", ["retired_on"], unique=False)


def _keep_hulls() -> None:
    checks = {
        "owner": "owner IN ('hull', 'prop', 'pack', 'part', 'supply')",
        "price": "price IS NULL OR (typeof(price) IN ('integer', 'real') AND price >= 0 AND price <= 10000000)",
        "quantity": "quantity IS NULL OR (typeof(quantity) IN ('integer', 'real') AND quantity >= 0 AND quantity <= 1000000)",
        "reorder_level": "reorder_level IS NULL OR (typeof(reorder_level) IN ('integer', 'real') AND reorder_level >= 0 AND reorder_level <= 1000000)",
    }
    # As with attachments before: checks and indexes are made in one order, whatever the file's own was.
    for column in ("low", "place", "wished"):
        op.drop_index(f"ix_shelf_entry_{column}", "shelf_entry")
    with op.batch_alter_table("shelf_entry") as batch_op:
        for name, check in checks.items():
            batch_op.drop_constraint(op.f(f"ck_shelf_entry_{name}"), type_="check")
            batch_op.create_check_constraint(op.f(f"ck_shelf_entry_{name}"), check)
    for column in ("low", "place", "wished"):
        op.create_index(f"ix_shelf_entry_{column}", "shelf_entry", [column], unique=False)


def downgrade() -> None:
    raise NotImplementedError("the snapshot made before the upgrade is the way back")
