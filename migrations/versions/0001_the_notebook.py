"""The notebook: hulls, inventory, builds, outings and runs."""

import sqlalchemy as sa

from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "attachment",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("owner", sa.String(), nullable=False),
        sa.Column("owner_id", sa.Integer(), nullable=True),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("offset_min", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("url", sa.String(), nullable=False),
        sa.Column("sha256", sa.String(), nullable=False),
        sa.Column("media_type", sa.String(), nullable=False),
        sa.Column("width_px", sa.Integer(), nullable=True),
        sa.Column("height_px", sa.Integer(), nullable=True),
        sa.Column("size_bytes", sa.Integer(), nullable=True),
        sa.Column("set_aside_at", sa.String(), nullable=True),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "at IS NULL OR at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_attachment_at"),
        ),
        sa.CheckConstraint(
            "height_px IS NULL OR (typeof(height_px) IN ('integer', 'real') AND height_px >= 1)",
            name=op.f("ck_attachment_height_px"),
        ),
        sa.CheckConstraint("kind IN ('photo', 'note', 'sound', 'video', 'link')", name=op.f("ck_attachment_kind")),
        sa.CheckConstraint(
            "owner IN ('', 'hull', 'modification', 'step', 'state', 'prop', 'pack', 'part', 'outing', 'run', 'supply')",
            name=op.f("ck_attachment_owner"),
        ),
        sa.CheckConstraint(
            "width_px IS NULL OR (typeof(width_px) IN ('integer', 'real') AND width_px >= 1)",
            name=op.f("ck_attachment_width_px"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_attachment")),
    )
    with op.batch_alter_table("attachment", schema=None) as batch_op:
        batch_op.create_index("ix_attachment_owner_owner_id", ["owner", "owner_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_attachment_sha256"), ["sha256"], unique=False)
        batch_op.create_index(
            "ix_bin_attachment", ["set_aside_at"], unique=False, sqlite_where=sa.text("set_aside_at IS NOT NULL")
        )

    op.create_table(
        "correction",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("owner", sa.String(), nullable=False),
        sa.Column("owner_id", sa.Integer(), nullable=False),
        sa.Column("field", sa.String(), nullable=False),
        sa.Column("old", sa.String(), nullable=False),
        sa.Column("new", sa.String(), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "at IS NULL OR at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_correction_at"),
        ),
        sa.CheckConstraint(
            "owner IN ('state', 'change', 'step', 'run', 'outing', 'edition')", name=op.f("ck_correction_owner")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_correction")),
    )
    with op.batch_alter_table("correction", schema=None) as batch_op:
        batch_op.create_index("ix_correction_owner_owner_id", ["owner", "owner_id"], unique=False)

    op.create_table(
        "device",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("secret_sha256", sa.String(), nullable=False),
        sa.Column("paired_at", sa.String(), nullable=False),
        sa.Column("ended_at", sa.String(), nullable=True),
        sa.CheckConstraint(
            "ended_at IS NULL OR ended_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_device_ended_at"),
        ),
        sa.CheckConstraint(
            "paired_at IS NULL OR paired_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_device_paired_at"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_device")),
    )
    with op.batch_alter_table("device", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_device_secret_sha256"), ["secret_sha256"], unique=True)

    op.create_table(
        "fact",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("value", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_fact")),
    )
    op.create_table(
        "hull",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("length_mm", sa.Float(), nullable=True),
        sa.Column("beam_mm", sa.Float(), nullable=True),
        sa.Column("deadrise_deg", sa.Float(), nullable=True),
        sa.Column("bare_mass_g", sa.Float(), nullable=True),
        sa.Column("material", sa.String(), nullable=False),
        sa.Column("own_design", sa.Boolean(), nullable=False),
        sa.Column("screws", sa.Integer(), nullable=False),
        sa.Column("fixed_tube", sa.Boolean(), nullable=False),
        sa.Column("built_on", sa.String(), nullable=False),
        sa.Column("notes", sa.String(), nullable=False),
        sa.Column("retired_on", sa.String(), nullable=False),
        sa.Column("retired_reason", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "bare_mass_g IS NULL OR (typeof(bare_mass_g) IN ('integer', 'real') AND bare_mass_g >= 1 AND bare_mass_g <= 50000)",
            name=op.f("ck_hull_bare_mass_g"),
        ),
        sa.CheckConstraint(
            "beam_mm IS NULL OR (typeof(beam_mm) IN ('integer', 'real') AND beam_mm >= 10 AND beam_mm <= 2000)",
            name=op.f("ck_hull_beam_mm"),
        ),
        sa.CheckConstraint(
            "created_at IS NULL OR created_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_hull_created_at"),
        ),
        sa.CheckConstraint(
            "deadrise_deg IS NULL OR (typeof(deadrise_deg) IN ('integer', 'real') AND deadrise_deg >= 0 AND deadrise_deg <= 60)",
            name=op.f("ck_hull_deadrise_deg"),
        ),
        sa.CheckConstraint(
            "kind IN ('mono', 'catamaran', 'hydroplane', 'outrigger', 'tunnel', 'other')", name=op.f("ck_hull_kind")
        ),
        sa.CheckConstraint(
            "length_mm IS NULL OR (typeof(length_mm) IN ('integer', 'real') AND length_mm >= 50 AND length_mm <= 5000)",
            name=op.f("ck_hull_length_mm"),
        ),
        sa.CheckConstraint(
            "screws IS NULL OR (typeof(screws) IN ('integer', 'real') AND screws >= 1 AND screws <= 2)",
            name=op.f("ck_hull_screws"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_hull")),
    )
    with op.batch_alter_table("hull", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_hull_name"), ["name"], unique=True)
        batch_op.create_index(batch_op.f("ix_hull_retired_on"), ["retired_on"], unique=False)

    op.create_table(
        "last_act",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("said", sa.String(), nullable=False),
        sa.Column("back_to", sa.String(), nullable=False),
        sa.Column("changes", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("taken_back_at", sa.String(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_last_act")),
    )
    op.create_table(
        "log_columns",
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("headings", sa.String(), nullable=False),
        sa.Column("columns", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_log_columns")),
    )
    op.create_table(
        "own_material",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("density_kg_m3", sa.Float(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "created_at IS NULL OR created_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_own_material_created_at"),
        ),
        sa.CheckConstraint(
            "density_kg_m3 IS NULL OR (typeof(density_kg_m3) IN ('integer', 'real') AND density_kg_m3 >= 1 AND density_kg_m3 <= 25000)",
            name=op.f("ck_own_material_density_kg_m3"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_own_material")),
        sa.UniqueConstraint("name", name=op.f("uq_own_material_name")),
    )
    op.create_table(
        "pack",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("cells_s", sa.Integer(), nullable=False),
        sa.Column("cells_p", sa.Integer(), nullable=False),
        sa.Column("capacity_mah", sa.Float(), nullable=False),
        sa.Column("capacity_measured_mah", sa.Float(), nullable=True),
        sa.Column("stated_c", sa.Float(), nullable=True),
        sa.Column("full_v_per_cell", sa.Float(), nullable=False),
        sa.Column("mass_g", sa.Float(), nullable=True),
        sa.Column("connector", sa.String(), nullable=False),
        sa.Column("bought_on", sa.String(), nullable=False),
        sa.Column("first_charged_on", sa.String(), nullable=False),
        sa.Column("charges_before", sa.Integer(), nullable=False),
        sa.Column("break_in_charges", sa.Integer(), nullable=False),
        sa.Column("break_in_c", sa.Float(), nullable=True),
        sa.Column("limit_mohm", sa.Float(), nullable=True),
        sa.Column("notes", sa.String(), nullable=False),
        sa.Column("damage", sa.String(), nullable=False),
        sa.Column("retired_on", sa.String(), nullable=False),
        sa.Column("retired_reason", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "break_in_c IS NULL OR (typeof(break_in_c) IN ('integer', 'real') AND break_in_c >= 0 AND break_in_c <= 100)",
            name=op.f("ck_pack_break_in_c"),
        ),
        sa.CheckConstraint(
            "break_in_charges IS NULL OR (typeof(break_in_charges) IN ('integer', 'real') AND break_in_charges >= 0 AND break_in_charges <= 50)",
            name=op.f("ck_pack_break_in_charges"),
        ),
        sa.CheckConstraint(
            "capacity_mah IS NULL OR (typeof(capacity_mah) IN ('integer', 'real') AND capacity_mah >= 50 AND capacity_mah <= 50000)",
            name=op.f("ck_pack_capacity_mah"),
        ),
        sa.CheckConstraint(
            "capacity_measured_mah IS NULL OR (typeof(capacity_measured_mah) IN ('integer', 'real') AND capacity_measured_mah >= 10 AND capacity_measured_mah <= 50000)",
            name=op.f("ck_pack_capacity_measured_mah"),
        ),
        sa.CheckConstraint(
            "cells_p IS NULL OR (typeof(cells_p) IN ('integer', 'real') AND cells_p >= 1 AND cells_p <= 10)",
            name=op.f("ck_pack_cells_p"),
        ),
        sa.CheckConstraint(
            "cells_s IS NULL OR (typeof(cells_s) IN ('integer', 'real') AND cells_s >= 1 AND cells_s <= 14)",
            name=op.f("ck_pack_cells_s"),
        ),
        sa.CheckConstraint(
            "charges_before IS NULL OR (typeof(charges_before) IN ('integer', 'real') AND charges_before >= 0 AND charges_before <= 5000)",
            name=op.f("ck_pack_charges_before"),
        ),
        sa.CheckConstraint(
            "created_at IS NULL OR created_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_pack_created_at"),
        ),
        sa.CheckConstraint(
            "full_v_per_cell IS NULL OR (typeof(full_v_per_cell) IN ('integer', 'real') AND full_v_per_cell >= 3.5 AND full_v_per_cell <= 4.5)",
            name=op.f("ck_pack_full_v_per_cell"),
        ),
        sa.CheckConstraint(
            "limit_mohm IS NULL OR (typeof(limit_mohm) IN ('integer', 'real') AND limit_mohm >= 0.05 AND limit_mohm <= 150)",
            name=op.f("ck_pack_limit_mohm"),
        ),
        sa.CheckConstraint(
            "mass_g IS NULL OR (typeof(mass_g) IN ('integer', 'real') AND mass_g >= 1 AND mass_g <= 20000)",
            name=op.f("ck_pack_mass_g"),
        ),
        sa.CheckConstraint(
            "stated_c IS NULL OR (typeof(stated_c) IN ('integer', 'real') AND stated_c >= 1 AND stated_c <= 500)",
            name=op.f("ck_pack_stated_c"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pack")),
    )
    with op.batch_alter_table("pack", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_pack_code"), ["code"], unique=True)
        batch_op.create_index(batch_op.f("ix_pack_retired_on"), ["retired_on"], unique=False)

    op.create_table(
        "pack_set",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("wiring", sa.String(), nullable=False),
        sa.Column("retired_on", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint("wiring IN ('series', 'parallel')", name=op.f("ck_pack_set_wiring")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pack_set")),
        sa.UniqueConstraint("name", name=op.f("uq_pack_set_name")),
    )
    op.create_table(
        "part",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("kv_stated", sa.Float(), nullable=True),
        sa.Column("kv_measured", sa.Float(), nullable=True),
        sa.Column("poles", sa.Integer(), nullable=True),
        sa.Column("resistance_mohm", sa.Float(), nullable=True),
        sa.Column("no_load_current_a", sa.Float(), nullable=True),
        sa.Column("timing_deg", sa.Float(), nullable=True),
        sa.Column("diameter_mm", sa.Float(), nullable=True),
        sa.Column("length_mm", sa.Float(), nullable=True),
        sa.Column("mass_g", sa.Float(), nullable=True),
        sa.Column("max_current_a", sa.Float(), nullable=True),
        sa.Column("max_cells", sa.Integer(), nullable=True),
        sa.Column("cut_off_v_per_cell", sa.Float(), nullable=True),
        sa.Column("capacitance_uf", sa.Float(), nullable=True),
        sa.Column("throttle_calibrated_on", sa.String(), nullable=False),
        sa.Column("material", sa.String(), nullable=False),
        sa.Column("bought_on", sa.String(), nullable=False),
        sa.Column("notes", sa.String(), nullable=False),
        sa.Column("retired_on", sa.String(), nullable=False),
        sa.Column("retired_reason", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "capacitance_uf IS NULL OR (typeof(capacitance_uf) IN ('integer', 'real') AND capacitance_uf >= 1 AND capacitance_uf <= 1000000)",
            name=op.f("ck_part_capacitance_uf"),
        ),
        sa.CheckConstraint(
            "created_at IS NULL OR created_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_part_created_at"),
        ),
        sa.CheckConstraint(
            "cut_off_v_per_cell IS NULL OR (typeof(cut_off_v_per_cell) IN ('integer', 'real') AND cut_off_v_per_cell >= 2 AND cut_off_v_per_cell <= 4.2)",
            name=op.f("ck_part_cut_off_v_per_cell"),
        ),
        sa.CheckConstraint(
            "diameter_mm IS NULL OR (typeof(diameter_mm) IN ('integer', 'real') AND diameter_mm >= 0.1 AND diameter_mm <= 1000)",
            name=op.f("ck_part_diameter_mm"),
        ),
        sa.CheckConstraint(
            "kind IN ('motor', 'speed controller', 'shaft', 'strut', 'stuffing tube', 'rudder', 'turn fin', 'trim tab', 'cooling', 'capacitor bank', 'receiver', 'servo', 'GPS unit', 'other')",
            name=op.f("ck_part_kind"),
        ),
        sa.CheckConstraint(
            "kv_measured IS NULL OR (typeof(kv_measured) IN ('integer', 'real') AND kv_measured >= 10 AND kv_measured <= 20000)",
            name=op.f("ck_part_kv_measured"),
        ),
        sa.CheckConstraint(
            "kv_stated IS NULL OR (typeof(kv_stated) IN ('integer', 'real') AND kv_stated >= 10 AND kv_stated <= 20000)",
            name=op.f("ck_part_kv_stated"),
        ),
        sa.CheckConstraint(
            "length_mm IS NULL OR (typeof(length_mm) IN ('integer', 'real') AND length_mm >= 0.1 AND length_mm <= 5000)",
            name=op.f("ck_part_length_mm"),
        ),
        sa.CheckConstraint(
            "mass_g IS NULL OR (typeof(mass_g) IN ('integer', 'real') AND mass_g >= 0.01 AND mass_g <= 20000)",
            name=op.f("ck_part_mass_g"),
        ),
        sa.CheckConstraint(
            "max_cells IS NULL OR (typeof(max_cells) IN ('integer', 'real') AND max_cells >= 1 AND max_cells <= 20)",
            name=op.f("ck_part_max_cells"),
        ),
        sa.CheckConstraint(
            "max_current_a IS NULL OR (typeof(max_current_a) IN ('integer', 'real') AND max_current_a >= 0.1 AND max_current_a <= 2000)",
            name=op.f("ck_part_max_current_a"),
        ),
        sa.CheckConstraint(
            "no_load_current_a IS NULL OR (typeof(no_load_current_a) IN ('integer', 'real') AND no_load_current_a >= 0 AND no_load_current_a <= 200)",
            name=op.f("ck_part_no_load_current_a"),
        ),
        sa.CheckConstraint(
            "poles IS NULL OR (typeof(poles) IN ('integer', 'real') AND poles >= 2 AND poles <= 40)",
            name=op.f("ck_part_poles"),
        ),
        sa.CheckConstraint(
            "resistance_mohm IS NULL OR (typeof(resistance_mohm) IN ('integer', 'real') AND resistance_mohm >= 0.01 AND resistance_mohm <= 10000)",
            name=op.f("ck_part_resistance_mohm"),
        ),
        sa.CheckConstraint(
            "timing_deg IS NULL OR (typeof(timing_deg) IN ('integer', 'real') AND timing_deg >= -10 AND timing_deg <= 40)",
            name=op.f("ck_part_timing_deg"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_part")),
    )
    with op.batch_alter_table("part", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_part_code"), ["code"], unique=True)
        batch_op.create_index(batch_op.f("ix_part_kind"), ["kind"], unique=False)
        batch_op.create_index(batch_op.f("ix_part_retired_on"), ["retired_on"], unique=False)

    op.create_table(
        "past_import",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("size_bytes", sa.Integer(), nullable=False),
        sa.Column("choices", sa.String(), nullable=False),
        sa.Column("looked_at", sa.String(), nullable=True),
        sa.Column("taken_in_at", sa.String(), nullable=True),
        sa.Column("taken_back_at", sa.String(), nullable=True),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "created_at IS NULL OR created_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_past_import_created_at"),
        ),
        sa.CheckConstraint(
            "looked_at IS NULL OR looked_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_past_import_looked_at"),
        ),
        sa.CheckConstraint(
            "size_bytes IS NULL OR (typeof(size_bytes) IN ('integer', 'real') AND size_bytes >= 0)",
            name=op.f("ck_past_import_size_bytes"),
        ),
        sa.CheckConstraint(
            "taken_back_at IS NULL OR taken_back_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_past_import_taken_back_at"),
        ),
        sa.CheckConstraint(
            "taken_in_at IS NULL OR taken_in_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_past_import_taken_in_at"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_past_import")),
    )
    with op.batch_alter_table("past_import", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_past_import_sha256"), ["sha256"], unique=False)

    op.create_table(
        "preference",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("value", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_preference")),
    )
    op.create_table(
        "prior_choice",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("mean", sa.Float(), nullable=False),
        sa.Column("sd", sa.Float(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "at IS NULL OR at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_prior_choice_at"),
        ),
        sa.CheckConstraint(
            "mean IS NULL OR (typeof(mean) IN ('integer', 'real') AND mean >= -5 AND mean <= 5)",
            name=op.f("ck_prior_choice_mean"),
        ),
        sa.CheckConstraint(
            "sd IS NULL OR (typeof(sd) IN ('integer', 'real') AND sd >= 0 AND sd <= 5)", name=op.f("ck_prior_choice_sd")
        ),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_prior_choice")),
    )
    op.create_table(
        "prop",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("printed_name", sa.String(), nullable=False),
        sa.Column("blades", sa.Integer(), nullable=False),
        sa.Column("material", sa.String(), nullable=False),
        sa.Column("hand", sa.String(), nullable=False),
        sa.Column("lifting", sa.String(), nullable=False),
        sa.Column("bore", sa.String(), nullable=False),
        sa.Column("bought_on", sa.String(), nullable=False),
        sa.Column("notes", sa.String(), nullable=False),
        sa.Column("retired_on", sa.String(), nullable=False),
        sa.Column("retired_reason", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "blades IS NULL OR (typeof(blades) IN ('integer', 'real') AND blades >= 1 AND blades <= 8)",
            name=op.f("ck_prop_blades"),
        ),
        sa.CheckConstraint(
            "created_at IS NULL OR created_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_prop_created_at"),
        ),
        sa.CheckConstraint("hand IN ('right', 'left')", name=op.f("ck_prop_hand")),
        sa.CheckConstraint(
            "material IN ('', 'plastic', 'aluminium', 'brass', 'stainless steel', 'beryllium copper', 'carbon', 'other')",
            name=op.f("ck_prop_material"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_prop")),
    )
    with op.batch_alter_table("prop", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_prop_code"), ["code"], unique=True)
        batch_op.create_index(batch_op.f("ix_prop_retired_on"), ["retired_on"], unique=False)

    op.create_table(
        "shelf_entry",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("owner", sa.String(), nullable=False),
        sa.Column("owner_id", sa.Integer(), nullable=False),
        sa.Column("quantity", sa.Float(), nullable=False),
        sa.Column("price", sa.Float(), nullable=True),
        sa.Column("currency", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("supplier", sa.String(), nullable=False),
        sa.Column("reorder_level", sa.Float(), nullable=True),
        sa.Column("wished", sa.Boolean(), nullable=False),
        sa.Column("low", sa.Boolean(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.CheckConstraint("owner IN ('prop', 'pack', 'part', 'supply')", name=op.f("ck_shelf_entry_owner")),
        sa.CheckConstraint(
            "price IS NULL OR (typeof(price) IN ('integer', 'real') AND price >= 0 AND price <= 10000000)",
            name=op.f("ck_shelf_entry_price"),
        ),
        sa.CheckConstraint(
            "quantity IS NULL OR (typeof(quantity) IN ('integer', 'real') AND quantity >= 0 AND quantity <= 1000000)",
            name=op.f("ck_shelf_entry_quantity"),
        ),
        sa.CheckConstraint(
            "reorder_level IS NULL OR (typeof(reorder_level) IN ('integer', 'real') AND reorder_level >= 0 AND reorder_level <= 1000000)",
            name=op.f("ck_shelf_entry_reorder_level"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shelf_entry")),
        sa.UniqueConstraint("owner", "owner_id", name=op.f("uq_shelf_entry_owner_owner_id")),
    )
    with op.batch_alter_table("shelf_entry", schema=None) as batch_op:
        batch_op.create_index("ix_shelf_entry_low", ["low"], unique=False)
        batch_op.create_index("ix_shelf_entry_place", ["place"], unique=False)
        batch_op.create_index("ix_shelf_entry_wished", ["wished"], unique=False)

    op.create_table(
        "supply",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("counted_in", sa.String(), nullable=False),
        sa.Column("notes", sa.String(), nullable=False),
        sa.Column("retired_on", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_supply")),
    )
    with op.batch_alter_table("supply", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_supply_code"), ["code"], unique=True)
        batch_op.create_index(batch_op.f("ix_supply_retired_on"), ["retired_on"], unique=False)

    op.create_table(
        "water",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("speed_limit_kmh", sa.Float(), nullable=True),
        sa.Column("hours", sa.String(), nullable=False),
        sa.Column("electric_allowed", sa.String(), nullable=False),
        sa.Column("course_m", sa.Float(), nullable=True),
        sa.Column("notes", sa.String(), nullable=False),
        sa.Column("retired_on", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "course_m IS NULL OR (typeof(course_m) IN ('integer', 'real') AND course_m >= 1 AND course_m <= 5000)",
            name=op.f("ck_water_course_m"),
        ),
        sa.CheckConstraint(
            "electric_allowed IN ('', 'yes', 'no', 'ask first')", name=op.f("ck_water_electric_allowed")
        ),
        sa.CheckConstraint(
            "speed_limit_kmh IS NULL OR (typeof(speed_limit_kmh) IN ('integer', 'real') AND speed_limit_kmh >= 0 AND speed_limit_kmh <= 500)",
            name=op.f("ck_water_speed_limit_kmh"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_water")),
        sa.UniqueConstraint("name", name=op.f("uq_water_name")),
    )
    op.create_table(
        "build_state",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("hull_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("parent_id", sa.Integer(), nullable=True),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.Column("offset_min", sa.Integer(), nullable=False),
        sa.Column("content", sa.String(), nullable=False),
        sa.Column("fingerprint", sa.String(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "created_at IS NULL OR created_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_build_state_created_at"),
        ),
        sa.CheckConstraint(
            "made_at IS NULL OR made_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_build_state_made_at"),
        ),
        sa.CheckConstraint(
            "number IS NULL OR (typeof(number) IN ('integer', 'real') AND number >= 1)",
            name=op.f("ck_build_state_number"),
        ),
        sa.ForeignKeyConstraint(["hull_id"], ["hull.id"], name=op.f("fk_build_state_hull_id_hull")),
        sa.ForeignKeyConstraint(["parent_id"], ["build_state.id"], name=op.f("fk_build_state_parent_id_build_state")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_build_state")),
        sa.UniqueConstraint("hull_id", "number", name=op.f("uq_build_state_hull_id_number")),
    )
    with op.batch_alter_table("build_state", schema=None) as batch_op:
        batch_op.create_index("ix_build_state_fingerprint", ["fingerprint"], unique=False)
        batch_op.create_index("ix_build_state_hull_id_made_at", ["hull_id", "made_at"], unique=False)

    op.create_table(
        "checklist_item",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("hull_id", sa.Integer(), nullable=False),
        sa.Column("checklist", sa.String(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("set_aside_at", sa.String(), nullable=True),
        sa.CheckConstraint("checklist IN ('launch', 'packing')", name=op.f("ck_checklist_item_checklist")),
        sa.CheckConstraint(
            "position IS NULL OR (typeof(position) IN ('integer', 'real') AND position >= 0)",
            name=op.f("ck_checklist_item_position"),
        ),
        sa.ForeignKeyConstraint(["hull_id"], ["hull.id"], name=op.f("fk_checklist_item_hull_id_hull")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_checklist_item")),
    )
    with op.batch_alter_table("checklist_item", schema=None) as batch_op:
        batch_op.create_index(
            "ix_bin_checklist_item", ["set_aside_at"], unique=False, sqlite_where=sa.text("set_aside_at IS NOT NULL")
        )
        batch_op.create_index(batch_op.f("ix_checklist_item_hull_id"), ["hull_id"], unique=False)

    op.create_table(
        "finding",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("hull_id", sa.Integer(), nullable=False),
        sa.Column("about", sa.String(), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint("about IN ('change', 'setting', 'prop', 'pack', 'states')", name=op.f("ck_finding_about")),
        sa.CheckConstraint(
            "created_at IS NULL OR created_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_finding_created_at"),
        ),
        sa.ForeignKeyConstraint(["hull_id"], ["hull.id"], name=op.f("fk_finding_hull_id_hull")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_finding")),
        sa.UniqueConstraint("hull_id", "about", "subject", name=op.f("uq_finding_hull_id_about_subject")),
    )
    op.create_table(
        "modification",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("hull_id", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("purpose", sa.String(), nullable=False),
        sa.Column("expected", sa.String(), nullable=False),
        sa.Column("permanence", sa.String(), nullable=False),
        sa.Column("trial", sa.Boolean(), nullable=False),
        sa.Column("notes", sa.String(), nullable=False),
        sa.Column("dropped_at", sa.String(), nullable=True),
        sa.Column("dropped_reason", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "created_at IS NULL OR created_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_modification_created_at"),
        ),
        sa.CheckConstraint("permanence IN ('permanent', 'removable')", name=op.f("ck_modification_permanence")),
        sa.ForeignKeyConstraint(["hull_id"], ["hull.id"], name=op.f("fk_modification_hull_id_hull")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_modification")),
    )
    with op.batch_alter_table("modification", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_modification_hull_id"), ["hull_id"], unique=False)

    op.create_table(
        "outing",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("water_id", sa.Integer(), nullable=False),
        sa.Column("started_at", sa.String(), nullable=False),
        sa.Column("offset_min", sa.Integer(), nullable=False),
        sa.Column("air_c", sa.Float(), nullable=True),
        sa.Column("water_c", sa.Float(), nullable=True),
        sa.Column("wind_ms", sa.Float(), nullable=True),
        sa.Column("gust_ms", sa.Float(), nullable=True),
        sa.Column("wind_from_deg", sa.Float(), nullable=True),
        sa.Column("wind_to_course", sa.String(), nullable=False),
        sa.Column("surface", sa.String(), nullable=False),
        sa.Column("sun", sa.String(), nullable=False),
        sa.Column("weed", sa.String(), nullable=False),
        sa.Column("notes", sa.String(), nullable=False),
        sa.Column("closed_at", sa.String(), nullable=True),
        sa.Column("set_aside_at", sa.String(), nullable=True),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "air_c IS NULL OR (typeof(air_c) IN ('integer', 'real') AND air_c >= -30 AND air_c <= 55)",
            name=op.f("ck_outing_air_c"),
        ),
        sa.CheckConstraint(
            "closed_at IS NULL OR closed_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_outing_closed_at"),
        ),
        sa.CheckConstraint(
            "gust_ms IS NULL OR (typeof(gust_ms) IN ('integer', 'real') AND gust_ms >= 0 AND gust_ms <= 60)",
            name=op.f("ck_outing_gust_ms"),
        ),
        sa.CheckConstraint(
            "started_at IS NULL OR started_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_outing_started_at"),
        ),
        sa.CheckConstraint("sun IN ('', 'sun', 'some cloud', 'overcast', 'rain', 'dark')", name=op.f("ck_outing_sun")),
        sa.CheckConstraint("surface IN ('', 'glass', 'ripple', 'light chop', 'rough')", name=op.f("ck_outing_surface")),
        sa.CheckConstraint(
            "water_c IS NULL OR (typeof(water_c) IN ('integer', 'real') AND water_c >= -3 AND water_c <= 45)",
            name=op.f("ck_outing_water_c"),
        ),
        sa.CheckConstraint(
            "wind_from_deg IS NULL OR (typeof(wind_from_deg) IN ('integer', 'real') AND wind_from_deg >= 0 AND wind_from_deg <= 360)",
            name=op.f("ck_outing_wind_from_deg"),
        ),
        sa.CheckConstraint(
            "wind_ms IS NULL OR (typeof(wind_ms) IN ('integer', 'real') AND wind_ms >= 0 AND wind_ms <= 40)",
            name=op.f("ck_outing_wind_ms"),
        ),
        sa.CheckConstraint(
            "wind_to_course IN ('', 'along', 'slanting', 'across')", name=op.f("ck_outing_wind_to_course")
        ),
        sa.ForeignKeyConstraint(["water_id"], ["water.id"], name=op.f("fk_outing_water_id_water")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_outing")),
    )
    with op.batch_alter_table("outing", schema=None) as batch_op:
        batch_op.create_index(
            "ix_bin_outing", ["set_aside_at"], unique=False, sqlite_where=sa.text("set_aside_at IS NOT NULL")
        )
        batch_op.create_index(batch_op.f("ix_outing_closed_at"), ["closed_at"], unique=False)
        batch_op.create_index("ix_outing_started_at", ["started_at"], unique=False)
        batch_op.create_index(batch_op.f("ix_outing_water_id"), ["water_id"], unique=False)

    op.create_table(
        "pack_log",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("pack_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("offset_min", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("charge_mah", sa.Float(), nullable=True),
        sa.Column("current_a", sa.Float(), nullable=True),
        sa.Column("temperature_c", sa.Float(), nullable=True),
        sa.Column("run_id", sa.Integer(), nullable=True),
        sa.Column("volts", sa.String(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("set_aside_at", sa.String(), nullable=True),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "at IS NULL OR at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_pack_log_at"),
        ),
        sa.CheckConstraint(
            "charge_mah IS NULL OR (typeof(charge_mah) IN ('integer', 'real') AND charge_mah >= 0 AND charge_mah <= 100000)",
            name=op.f("ck_pack_log_charge_mah"),
        ),
        sa.CheckConstraint(
            "kind IN ('run', 'bench', 'capacity', 'charge', 'storage', 'look')", name=op.f("ck_pack_log_kind")
        ),
        sa.CheckConstraint(
            "temperature_c IS NULL OR (typeof(temperature_c) IN ('integer', 'real') AND temperature_c >= -40 AND temperature_c <= 150)",
            name=op.f("ck_pack_log_temperature_c"),
        ),
        sa.ForeignKeyConstraint(["pack_id"], ["pack.id"], name=op.f("fk_pack_log_pack_id_pack")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pack_log")),
        sa.UniqueConstraint("run_id", "pack_id", name=op.f("uq_pack_log_run_id_pack_id")),
    )
    with op.batch_alter_table("pack_log", schema=None) as batch_op:
        batch_op.create_index(
            "ix_bin_pack_log", ["set_aside_at"], unique=False, sqlite_where=sa.text("set_aside_at IS NOT NULL")
        )
        batch_op.create_index("ix_pack_log_pack_id_at", ["pack_id", "at", "kind", "set_aside_at"], unique=False)

    op.create_table(
        "pack_reading",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("pack_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("offset_min", sa.Integer(), nullable=False),
        sa.Column("cells_mohm", sa.String(), nullable=False),
        sa.Column("temperature_c", sa.Float(), nullable=True),
        sa.Column("state_of_charge_percent", sa.Float(), nullable=True),
        sa.Column("rest_min", sa.Float(), nullable=True),
        sa.Column("volts", sa.String(), nullable=False),
        sa.Column("instrument", sa.String(), nullable=False),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("set_aside_at", sa.String(), nullable=True),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "at IS NULL OR at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_pack_reading_at"),
        ),
        sa.CheckConstraint(
            "method IN ('charger DC step', 'AC 1 kHz', 'sag in a run', 'other')", name=op.f("ck_pack_reading_method")
        ),
        sa.CheckConstraint(
            "rest_min IS NULL OR (typeof(rest_min) IN ('integer', 'real') AND rest_min >= 0 AND rest_min <= 100000)",
            name=op.f("ck_pack_reading_rest_min"),
        ),
        sa.CheckConstraint(
            "state_of_charge_percent IS NULL OR (typeof(state_of_charge_percent) IN ('integer', 'real') AND state_of_charge_percent >= 0 AND state_of_charge_percent <= 100)",
            name=op.f("ck_pack_reading_state_of_charge_percent"),
        ),
        sa.CheckConstraint(
            "temperature_c IS NULL OR (typeof(temperature_c) IN ('integer', 'real') AND temperature_c >= -40 AND temperature_c <= 90)",
            name=op.f("ck_pack_reading_temperature_c"),
        ),
        sa.ForeignKeyConstraint(["pack_id"], ["pack.id"], name=op.f("fk_pack_reading_pack_id_pack")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pack_reading")),
    )
    with op.batch_alter_table("pack_reading", schema=None) as batch_op:
        batch_op.create_index(
            "ix_bin_pack_reading", ["set_aside_at"], unique=False, sqlite_where=sa.text("set_aside_at IS NOT NULL")
        )
        batch_op.create_index("ix_pack_reading_pack_id_at", ["pack_id", "at"], unique=False)

    op.create_table(
        "pack_set_member",
        sa.Column("set_id", sa.Integer(), nullable=False),
        sa.Column("pack_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["pack_id"], ["pack.id"], name=op.f("fk_pack_set_member_pack_id_pack")),
        sa.ForeignKeyConstraint(["set_id"], ["pack_set.id"], name=op.f("fk_pack_set_member_set_id_pack_set")),
        sa.PrimaryKeyConstraint("set_id", "pack_id", name=op.f("pk_pack_set_member")),
    )
    op.create_table(
        "prop_edition",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("prop_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("reworks", sa.String(), nullable=False),
        sa.Column("diameter_mm", sa.Float(), nullable=True),
        sa.Column("diameter_from", sa.String(), nullable=False),
        sa.Column("pitch_mm", sa.Float(), nullable=True),
        sa.Column("pitch_from", sa.String(), nullable=False),
        sa.Column("pitch_per_blade_mm", sa.String(), nullable=False),
        sa.Column("mass_g", sa.Float(), nullable=True),
        sa.Column("condition", sa.String(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.Column("offset_min", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "condition IN ('good', 'nicked', 'bent', 'cracked', 'unusable')", name=op.f("ck_prop_edition_condition")
        ),
        sa.CheckConstraint(
            "created_at IS NULL OR created_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_prop_edition_created_at"),
        ),
        sa.CheckConstraint(
            "diameter_from IN ('', 'printed size', 'measured', 'mean of the blades', 'carried over')",
            name=op.f("ck_prop_edition_diameter_from"),
        ),
        sa.CheckConstraint(
            "diameter_mm IS NULL OR (typeof(diameter_mm) IN ('integer', 'real') AND diameter_mm >= 5 AND diameter_mm <= 300)",
            name=op.f("ck_prop_edition_diameter_mm"),
        ),
        sa.CheckConstraint(
            "made_at IS NULL OR made_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_prop_edition_made_at"),
        ),
        sa.CheckConstraint(
            "mass_g IS NULL OR (typeof(mass_g) IN ('integer', 'real') AND mass_g >= 0.1 AND mass_g <= 2000)",
            name=op.f("ck_prop_edition_mass_g"),
        ),
        sa.CheckConstraint(
            "number IS NULL OR (typeof(number) IN ('integer', 'real') AND number >= 1)",
            name=op.f("ck_prop_edition_number"),
        ),
        sa.CheckConstraint(
            "pitch_from IN ('', 'printed size', 'measured', 'mean of the blades', 'carried over')",
            name=op.f("ck_prop_edition_pitch_from"),
        ),
        sa.CheckConstraint(
            "pitch_mm IS NULL OR (typeof(pitch_mm) IN ('integer', 'real') AND pitch_mm >= 5 AND pitch_mm <= 600)",
            name=op.f("ck_prop_edition_pitch_mm"),
        ),
        sa.ForeignKeyConstraint(["prop_id"], ["prop.id"], name=op.f("fk_prop_edition_prop_id_prop")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_prop_edition")),
        sa.UniqueConstraint("prop_id", "number", name=op.f("uq_prop_edition_prop_id_number")),
    )
    op.create_table(
        "service",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("hull_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("offset_min", sa.Integer(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("set_aside_at", sa.String(), nullable=True),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "at IS NULL OR at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_service_at"),
        ),
        sa.CheckConstraint(
            "kind IN ('greased', 'shaft looked at', 'throttle calibrated', 'cleaned', 'bearings looked at', 'other')",
            name=op.f("ck_service_kind"),
        ),
        sa.CheckConstraint("place IN ('single', 'left', 'right')", name=op.f("ck_service_place")),
        sa.ForeignKeyConstraint(["hull_id"], ["hull.id"], name=op.f("fk_service_hull_id_hull")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_service")),
    )
    with op.batch_alter_table("service", schema=None) as batch_op:
        batch_op.create_index(
            "ix_bin_service", ["set_aside_at"], unique=False, sqlite_where=sa.text("set_aside_at IS NOT NULL")
        )
        batch_op.create_index("ix_service_hull_id_kind_at", ["hull_id", "kind", "at"], unique=False)

    op.create_table(
        "service_rule",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("hull_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("runs", sa.Integer(), nullable=True),
        sa.Column("minutes", sa.Float(), nullable=True),
        sa.CheckConstraint(
            "kind IN ('greased', 'shaft looked at', 'throttle calibrated', 'cleaned', 'bearings looked at', 'other')",
            name=op.f("ck_service_rule_kind"),
        ),
        sa.CheckConstraint(
            "minutes IS NULL OR (typeof(minutes) IN ('integer', 'real') AND minutes >= 1 AND minutes <= 10000)",
            name=op.f("ck_service_rule_minutes"),
        ),
        sa.CheckConstraint(
            "runs IS NULL OR (typeof(runs) IN ('integer', 'real') AND runs >= 1 AND runs <= 1000)",
            name=op.f("ck_service_rule_runs"),
        ),
        sa.ForeignKeyConstraint(["hull_id"], ["hull.id"], name=op.f("fk_service_rule_hull_id_hull")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_service_rule")),
        sa.UniqueConstraint("hull_id", "kind", name=op.f("uq_service_rule_hull_id_kind")),
    )
    op.create_table(
        "balance_sheet",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("hull_id", sa.Integer(), nullable=False),
        sa.Column("state_id", sa.Integer(), nullable=False),
        sa.Column("parts", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.Column("set_aside_at", sa.String(), nullable=True),
        sa.CheckConstraint(
            "created_at IS NULL OR created_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_balance_sheet_created_at"),
        ),
        sa.ForeignKeyConstraint(["hull_id"], ["hull.id"], name=op.f("fk_balance_sheet_hull_id_hull")),
        sa.ForeignKeyConstraint(["state_id"], ["build_state.id"], name=op.f("fk_balance_sheet_state_id_build_state")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_balance_sheet")),
    )
    with op.batch_alter_table("balance_sheet", schema=None) as batch_op:
        batch_op.create_index("ix_balance_sheet_hull_id_id", ["hull_id", "id"], unique=False)
        batch_op.create_index(batch_op.f("ix_balance_sheet_state_id"), ["state_id"], unique=False)

    op.create_table(
        "change",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("state_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("modification_id", sa.Integer(), nullable=True),
        sa.Column("part_id", sa.Integer(), nullable=True),
        sa.Column("setting", sa.String(), nullable=False),
        sa.Column("detail", sa.String(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "created_at IS NULL OR created_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_change_created_at"),
        ),
        sa.CheckConstraint(
            "kind IN ('fit', 'take off', 'rework', 'install', 'take out', 'set', 'damage', 'repair')",
            name=op.f("ck_change_kind"),
        ),
        sa.CheckConstraint("place IN ('single', 'left', 'right')", name=op.f("ck_change_place")),
        sa.ForeignKeyConstraint(
            ["modification_id"], ["modification.id"], name=op.f("fk_change_modification_id_modification")
        ),
        sa.ForeignKeyConstraint(["part_id"], ["part.id"], name=op.f("fk_change_part_id_part")),
        sa.ForeignKeyConstraint(["state_id"], ["build_state.id"], name=op.f("fk_change_state_id_build_state")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_change")),
    )
    with op.batch_alter_table("change", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_change_modification_id"), ["modification_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_change_part_id"), ["part_id"], unique=False)
        batch_op.create_index("ix_change_state_id_position", ["state_id", "position"], unique=False)

    op.create_table(
        "finding_decision",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("finding_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("offset_min", sa.Integer(), nullable=False),
        sa.Column("verdict", sa.String(), nullable=False),
        sa.Column("numbers", sa.String(), nullable=False),
        sa.Column("run_ids", sa.String(), nullable=False),
        sa.Column("set_aside_at", sa.String(), nullable=True),
        sa.CheckConstraint(
            "at IS NULL OR at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_finding_decision_at"),
        ),
        sa.CheckConstraint("kind IN ('leave on', 'take off', 'test again')", name=op.f("ck_finding_decision_kind")),
        sa.CheckConstraint(
            "set_aside_at IS NULL OR set_aside_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_finding_decision_set_aside_at"),
        ),
        sa.ForeignKeyConstraint(["finding_id"], ["finding.id"], name=op.f("fk_finding_decision_finding_id_finding")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_finding_decision")),
    )
    with op.batch_alter_table("finding_decision", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_finding_decision_finding_id"), ["finding_id"], unique=False)

    op.create_table(
        "finding_result",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("finding_id", sa.Integer(), nullable=False),
        sa.Column("outing_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("verdict", sa.String(), nullable=False),
        sa.Column("verdict_before", sa.String(), nullable=False),
        sa.Column("confirmed", sa.Boolean(), nullable=False),
        sa.Column("ln", sa.Float(), nullable=False),
        sa.Column("low_ln", sa.Float(), nullable=False),
        sa.Column("high_ln", sa.Float(), nullable=False),
        sa.Column("chance", sa.Float(), nullable=False),
        sa.Column("wide_chance", sa.Float(), nullable=False),
        sa.Column("runs", sa.Integer(), nullable=False),
        sa.Column("noticed_at", sa.String(), nullable=True),
        sa.CheckConstraint(
            "at IS NULL OR at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_finding_result_at"),
        ),
        sa.CheckConstraint(
            "chance IS NULL OR (typeof(chance) IN ('integer', 'real') AND chance >= 0 AND chance <= 1)",
            name=op.f("ck_finding_result_chance"),
        ),
        sa.CheckConstraint(
            "noticed_at IS NULL OR noticed_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_finding_result_noticed_at"),
        ),
        sa.CheckConstraint(
            "runs IS NULL OR (typeof(runs) IN ('integer', 'real') AND runs >= 0)", name=op.f("ck_finding_result_runs")
        ),
        sa.CheckConstraint(
            "wide_chance IS NULL OR (typeof(wide_chance) IN ('integer', 'real') AND wide_chance >= 0 AND wide_chance <= 1)",
            name=op.f("ck_finding_result_wide_chance"),
        ),
        sa.ForeignKeyConstraint(["finding_id"], ["finding.id"], name=op.f("fk_finding_result_finding_id_finding")),
        sa.ForeignKeyConstraint(["outing_id"], ["outing.id"], name=op.f("fk_finding_result_outing_id_outing")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_finding_result")),
        sa.UniqueConstraint("finding_id", "outing_id", name=op.f("uq_finding_result_finding_id_outing_id")),
    )
    with op.batch_alter_table("finding_result", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_finding_result_noticed_at"), ["noticed_at"], unique=False)
        batch_op.create_index(batch_op.f("ix_finding_result_outing_id"), ["outing_id"], unique=False)

    op.create_table(
        "fingerprint",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fingerprint", sa.String(), nullable=False),
        sa.Column("state_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["state_id"], ["build_state.id"], name=op.f("fk_fingerprint_state_id_build_state")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fingerprint")),
        sa.UniqueConstraint("fingerprint", "state_id", name=op.f("uq_fingerprint_fingerprint_state_id")),
    )
    with op.batch_alter_table("fingerprint", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_fingerprint_fingerprint"), ["fingerprint"], unique=False)

    op.create_table(
        "past_import_outing",
        sa.Column("import_id", sa.Integer(), nullable=False),
        sa.Column("outing_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["import_id"], ["past_import.id"], name=op.f("fk_past_import_outing_import_id_past_import")
        ),
        sa.ForeignKeyConstraint(["outing_id"], ["outing.id"], name=op.f("fk_past_import_outing_outing_id_outing")),
        sa.PrimaryKeyConstraint("import_id", "outing_id", name=op.f("pk_past_import_outing")),
    )
    op.create_table(
        "planned_run",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("finding_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("words", sa.String(), nullable=False),
        sa.Column("half_width_now", sa.Float(), nullable=False),
        sa.Column("half_width_after", sa.Float(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("ticked_at", sa.String(), nullable=True),
        sa.Column("set_aside_at", sa.String(), nullable=True),
        sa.CheckConstraint(
            "at IS NULL OR at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_planned_run_at"),
        ),
        sa.CheckConstraint(
            "position IS NULL OR (typeof(position) IN ('integer', 'real') AND position >= 0)",
            name=op.f("ck_planned_run_position"),
        ),
        sa.CheckConstraint(
            "set_aside_at IS NULL OR set_aside_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_planned_run_set_aside_at"),
        ),
        sa.CheckConstraint(
            "ticked_at IS NULL OR ticked_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_planned_run_ticked_at"),
        ),
        sa.ForeignKeyConstraint(["finding_id"], ["finding.id"], name=op.f("fk_planned_run_finding_id_finding")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_planned_run")),
    )
    with op.batch_alter_table("planned_run", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_planned_run_finding_id"), ["finding_id"], unique=False)

    op.create_table(
        "run",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("outing_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("hull_id", sa.Integer(), nullable=False),
        sa.Column("state_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("started_at", sa.String(), nullable=False),
        sa.Column("offset_min", sa.Integer(), nullable=False),
        sa.Column("start_time_known", sa.Boolean(), nullable=False),
        sa.Column("cells_s", sa.Integer(), nullable=True),
        sa.Column("speed_kmh", sa.Float(), nullable=True),
        sa.Column("speed_how", sa.String(), nullable=False),
        sa.Column("averaging_s", sa.Float(), nullable=True),
        sa.Column("ways", sa.String(), nullable=False),
        sa.Column("passes", sa.Integer(), nullable=True),
        sa.Column("course_m", sa.Float(), nullable=True),
        sa.Column("duration_s", sa.Float(), nullable=True),
        sa.Column("full_throttle_s", sa.Float(), nullable=True),
        sa.Column("ride_rating", sa.Integer(), nullable=True),
        sa.Column("straight_rating", sa.Integer(), nullable=True),
        sa.Column("corner_rating", sa.Integer(), nullable=True),
        sa.Column("acceleration_rating", sa.Integer(), nullable=True),
        sa.Column("throttle_eased", sa.String(), nullable=False),
        sa.Column("rudder_trim", sa.String(), nullable=False),
        sa.Column("outlet", sa.String(), nullable=False),
        sa.Column("water_inside_ml", sa.Float(), nullable=True),
        sa.Column("depth_m", sa.Float(), nullable=True),
        sa.Column("sun", sa.String(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("try_next", sa.String(), nullable=False),
        sa.Column("try_next_done_at", sa.String(), nullable=True),
        sa.Column("waiting", sa.Boolean(), nullable=False),
        sa.Column("waved_away_at", sa.String(), nullable=True),
        sa.Column("set_aside_at", sa.String(), nullable=True),
        sa.Column("set_aside_reason", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "acceleration_rating IS NULL OR (typeof(acceleration_rating) IN ('integer', 'real') AND acceleration_rating >= 1 AND acceleration_rating <= 5)",
            name=op.f("ck_run_acceleration_rating"),
        ),
        sa.CheckConstraint(
            "averaging_s IS NULL OR (typeof(averaging_s) IN ('integer', 'real') AND averaging_s >= 0 AND averaging_s <= 60)",
            name=op.f("ck_run_averaging_s"),
        ),
        sa.CheckConstraint(
            "cells_s IS NULL OR (typeof(cells_s) IN ('integer', 'real') AND cells_s >= 1 AND cells_s <= 28)",
            name=op.f("ck_run_cells_s"),
        ),
        sa.CheckConstraint(
            "corner_rating IS NULL OR (typeof(corner_rating) IN ('integer', 'real') AND corner_rating >= 1 AND corner_rating <= 5)",
            name=op.f("ck_run_corner_rating"),
        ),
        sa.CheckConstraint(
            "course_m IS NULL OR (typeof(course_m) IN ('integer', 'real') AND course_m >= 1 AND course_m <= 5000)",
            name=op.f("ck_run_course_m"),
        ),
        sa.CheckConstraint(
            "depth_m IS NULL OR (typeof(depth_m) IN ('integer', 'real') AND depth_m >= 0 AND depth_m <= 500)",
            name=op.f("ck_run_depth_m"),
        ),
        sa.CheckConstraint(
            "duration_s IS NULL OR (typeof(duration_s) IN ('integer', 'real') AND duration_s >= 1 AND duration_s <= 14400)",
            name=op.f("ck_run_duration_s"),
        ),
        sa.CheckConstraint(
            "full_throttle_s IS NULL OR (typeof(full_throttle_s) IN ('integer', 'real') AND full_throttle_s >= 0 AND full_throttle_s <= 14400)",
            name=op.f("ck_run_full_throttle_s"),
        ),
        sa.CheckConstraint("kind IN ('speed', 'lap', 'tune', 'maiden', 'break-in')", name=op.f("ck_run_kind")),
        sa.CheckConstraint(
            "number IS NULL OR (typeof(number) IN ('integer', 'real') AND number >= 1)", name=op.f("ck_run_number")
        ),
        sa.CheckConstraint("outlet IN ('', 'running', 'weak', 'none')", name=op.f("ck_run_outlet")),
        sa.CheckConstraint(
            "passes IS NULL OR (typeof(passes) IN ('integer', 'real') AND passes >= 1 AND passes <= 100)",
            name=op.f("ck_run_passes"),
        ),
        sa.CheckConstraint(
            "ride_rating IS NULL OR (typeof(ride_rating) IN ('integer', 'real') AND ride_rating >= 1 AND ride_rating <= 5)",
            name=op.f("ck_run_ride_rating"),
        ),
        sa.CheckConstraint("speed_how IN ('', 'by eye', 'display', 'log')", name=op.f("ck_run_speed_how")),
        sa.CheckConstraint(
            "speed_kmh IS NULL OR (typeof(speed_kmh) IN ('integer', 'real') AND speed_kmh >= 0.1 AND speed_kmh <= 400)",
            name=op.f("ck_run_speed_kmh"),
        ),
        sa.CheckConstraint(
            "started_at IS NULL OR started_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_run_started_at"),
        ),
        sa.CheckConstraint(
            "straight_rating IS NULL OR (typeof(straight_rating) IN ('integer', 'real') AND straight_rating >= 1 AND straight_rating <= 5)",
            name=op.f("ck_run_straight_rating"),
        ),
        sa.CheckConstraint("sun IN ('', 'sun', 'some cloud', 'overcast', 'rain', 'dark')", name=op.f("ck_run_sun")),
        sa.CheckConstraint(
            "water_inside_ml IS NULL OR (typeof(water_inside_ml) IN ('integer', 'real') AND water_inside_ml >= 0 AND water_inside_ml <= 100000)",
            name=op.f("ck_run_water_inside_ml"),
        ),
        sa.CheckConstraint("ways IN ('', 'one way', 'both ways')", name=op.f("ck_run_ways")),
        sa.ForeignKeyConstraint(["hull_id"], ["hull.id"], name=op.f("fk_run_hull_id_hull")),
        sa.ForeignKeyConstraint(["outing_id"], ["outing.id"], name=op.f("fk_run_outing_id_outing")),
        sa.ForeignKeyConstraint(["state_id"], ["build_state.id"], name=op.f("fk_run_state_id_build_state")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_run")),
        sa.UniqueConstraint("outing_id", "number", name=op.f("uq_run_outing_id_number")),
    )
    with op.batch_alter_table("run", schema=None) as batch_op:
        batch_op.create_index(
            "ix_bin_run", ["set_aside_at"], unique=False, sqlite_where=sa.text("set_aside_at IS NOT NULL")
        )
        batch_op.create_index(
            "ix_run_best", ["set_aside_at", "speed_how", "ways", "course_m", "averaging_s", "speed_kmh"], unique=False
        )
        batch_op.create_index(
            "ix_run_hull_best",
            ["hull_id", "set_aside_at", "speed_how", "ways", "course_m", "averaging_s", "speed_kmh"],
            unique=False,
        )
        batch_op.create_index("ix_run_hull_id_started_at", ["hull_id", "started_at"], unique=False)
        batch_op.create_index(batch_op.f("ix_run_state_id"), ["state_id"], unique=False)
        batch_op.create_index(
            "ix_run_still_to_try",
            ["started_at"],
            unique=False,
            sqlite_where=sa.text("try_next <> '' AND try_next_done_at IS NULL"),
        )
        batch_op.create_index(
            "ix_run_try_next", ["hull_id", "started_at"], unique=False, sqlite_where=sa.text("try_next <> ''")
        )
        batch_op.create_index(
            "ix_run_waiting", ["waiting", "outing_id"], unique=False, sqlite_where=sa.text("waiting = 1")
        )

    op.create_table(
        "scale_reading",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("state_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("offset_min", sa.Integer(), nullable=False),
        sa.Column("first_x_mm", sa.Float(), nullable=False),
        sa.Column("first_g", sa.Float(), nullable=False),
        sa.Column("second_x_mm", sa.Float(), nullable=False),
        sa.Column("second_g", sa.Float(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.Column("set_aside_at", sa.String(), nullable=True),
        sa.CheckConstraint(
            "at IS NULL OR at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_scale_reading_at"),
        ),
        sa.CheckConstraint(
            "created_at IS NULL OR created_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_scale_reading_created_at"),
        ),
        sa.CheckConstraint(
            "first_g IS NULL OR (typeof(first_g) IN ('integer', 'real') AND first_g >= 0 AND first_g <= 1000000)",
            name=op.f("ck_scale_reading_first_g"),
        ),
        sa.CheckConstraint(
            "first_x_mm IS NULL OR (typeof(first_x_mm) IN ('integer', 'real') AND first_x_mm >= -100000 AND first_x_mm <= 100000)",
            name=op.f("ck_scale_reading_first_x_mm"),
        ),
        sa.CheckConstraint(
            "second_g IS NULL OR (typeof(second_g) IN ('integer', 'real') AND second_g >= 0 AND second_g <= 1000000)",
            name=op.f("ck_scale_reading_second_g"),
        ),
        sa.CheckConstraint(
            "second_x_mm IS NULL OR (typeof(second_x_mm) IN ('integer', 'real') AND second_x_mm >= -100000 AND second_x_mm <= 100000)",
            name=op.f("ck_scale_reading_second_x_mm"),
        ),
        sa.ForeignKeyConstraint(["state_id"], ["build_state.id"], name=op.f("fk_scale_reading_state_id_build_state")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_scale_reading")),
    )
    with op.batch_alter_table("scale_reading", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_scale_reading_state_id"), ["state_id"], unique=False)

    op.create_table(
        "supersession",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("old_state_id", sa.Integer(), nullable=False),
        sa.Column("new_state_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["new_state_id"], ["build_state.id"], name=op.f("fk_supersession_new_state_id_build_state")
        ),
        sa.ForeignKeyConstraint(
            ["old_state_id"], ["build_state.id"], name=op.f("fk_supersession_old_state_id_build_state")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_supersession")),
        sa.UniqueConstraint("old_state_id", name=op.f("uq_supersession_old_state_id")),
    )
    with op.batch_alter_table("supersession", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_supersession_new_state_id"), ["new_state_id"], unique=False)

    op.create_table(
        "finding_run_choice",
        sa.Column("finding_id", sa.Integer(), nullable=False),
        sa.Column("run_id", sa.Integer(), nullable=False),
        sa.Column("is_in", sa.Boolean(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "at IS NULL OR at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_finding_run_choice_at"),
        ),
        sa.ForeignKeyConstraint(["finding_id"], ["finding.id"], name=op.f("fk_finding_run_choice_finding_id_finding")),
        sa.ForeignKeyConstraint(["run_id"], ["run.id"], name=op.f("fk_finding_run_choice_run_id_run")),
        sa.PrimaryKeyConstraint("finding_id", "run_id", name=op.f("pk_finding_run_choice")),
    )
    with op.batch_alter_table("finding_run_choice", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_finding_run_choice_run_id"), ["run_id"], unique=False)

    op.create_table(
        "incident",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("run_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("cause", sa.String(), nullable=False),
        sa.Column("recovered", sa.String(), nullable=False),
        sa.Column("damaged", sa.Boolean(), nullable=False),
        sa.Column("spoiled_speed", sa.Boolean(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("set_aside_at", sa.String(), nullable=True),
        sa.CheckConstraint(
            "cause IN ('', 'wave', 'wake', 'turn', 'gust', 'weed or debris', 'radio', 'throttle', 'driving', 'part failed', 'not known')",
            name=op.f("ck_incident_cause"),
        ),
        sa.CheckConstraint(
            "kind IN ('flip', 'blow over', 'spin out', 'hook', 'chine walk', 'porpoising', 'water inside', 'prop strike', 'lost drive', 'other')",
            name=op.f("ck_incident_kind"),
        ),
        sa.ForeignKeyConstraint(["run_id"], ["run.id"], name=op.f("fk_incident_run_id_run")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_incident")),
    )
    with op.batch_alter_table("incident", schema=None) as batch_op:
        batch_op.create_index(
            "ix_bin_incident", ["set_aside_at"], unique=False, sqlite_where=sa.text("set_aside_at IS NOT NULL")
        )
        batch_op.create_index(batch_op.f("ix_incident_run_id"), ["run_id"], unique=False)

    op.create_table(
        "log_file",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("size_bytes", sa.Integer(), nullable=False),
        sa.Column("outing_id", sa.Integer(), nullable=True),
        sa.Column("asked_run_id", sa.Integer(), nullable=True),
        sa.Column("start_unix_s", sa.Float(), nullable=True),
        sa.Column("samples", sa.Integer(), nullable=False),
        sa.Column("duration_s", sa.Float(), nullable=False),
        sa.Column("rate_hz", sa.Float(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("course_m", sa.Float(), nullable=False),
        sa.Column("rest_s", sa.Float(), nullable=False),
        sa.Column("opposite_within_s", sa.Float(), nullable=False),
        sa.Column("notes", sa.String(), nullable=False),
        sa.Column("read_at", sa.String(), nullable=True),
        sa.Column("set_aside_at", sa.String(), nullable=True),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "course_m IS NULL OR (typeof(course_m) IN ('integer', 'real') AND course_m >= 1 AND course_m <= 5000)",
            name=op.f("ck_log_file_course_m"),
        ),
        sa.CheckConstraint(
            "duration_s IS NULL OR (typeof(duration_s) IN ('integer', 'real') AND duration_s >= 0)",
            name=op.f("ck_log_file_duration_s"),
        ),
        sa.CheckConstraint(
            "opposite_within_s IS NULL OR (typeof(opposite_within_s) IN ('integer', 'real') AND opposite_within_s >= 1 AND opposite_within_s <= 86400)",
            name=op.f("ck_log_file_opposite_within_s"),
        ),
        sa.CheckConstraint(
            "read_at IS NULL OR read_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_log_file_read_at"),
        ),
        sa.CheckConstraint(
            "samples IS NULL OR (typeof(samples) IN ('integer', 'real') AND samples >= 0)",
            name=op.f("ck_log_file_samples"),
        ),
        sa.CheckConstraint(
            "set_aside_at IS NULL OR set_aside_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_log_file_set_aside_at"),
        ),
        sa.CheckConstraint("source IN ('', 'doppler', 'position')", name=op.f("ck_log_file_source")),
        sa.ForeignKeyConstraint(["asked_run_id"], ["run.id"], name=op.f("fk_log_file_asked_run_id_run")),
        sa.ForeignKeyConstraint(["outing_id"], ["outing.id"], name=op.f("fk_log_file_outing_id_outing")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_log_file")),
        sa.UniqueConstraint("sha256", name=op.f("uq_log_file_sha256")),
    )
    with op.batch_alter_table("log_file", schema=None) as batch_op:
        batch_op.create_index(
            "ix_bin_log_file", ["set_aside_at"], unique=False, sqlite_where=sa.text("set_aside_at IS NOT NULL")
        )
        batch_op.create_index(batch_op.f("ix_log_file_outing_id"), ["outing_id"], unique=False)

    op.create_table(
        "past_import_line",
        sa.Column("import_id", sa.Integer(), nullable=False),
        sa.Column("row", sa.Integer(), nullable=False),
        sa.Column("said", sa.String(), nullable=False),
        sa.Column("refused", sa.String(), nullable=False),
        sa.Column("run_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(
            ["import_id"], ["past_import.id"], name=op.f("fk_past_import_line_import_id_past_import")
        ),
        sa.ForeignKeyConstraint(["run_id"], ["run.id"], name=op.f("fk_past_import_line_run_id_run")),
        sa.PrimaryKeyConstraint("import_id", "row", name=op.f("pk_past_import_line")),
    )
    with op.batch_alter_table("past_import_line", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_past_import_line_run_id"), ["run_id"], unique=False)

    op.create_table(
        "pin_move",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("run_id", sa.Integer(), nullable=False),
        sa.Column("from_state_id", sa.Integer(), nullable=False),
        sa.Column("to_state_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["from_state_id"], ["build_state.id"], name=op.f("fk_pin_move_from_state_id_build_state")
        ),
        sa.ForeignKeyConstraint(["run_id"], ["run.id"], name=op.f("fk_pin_move_run_id_run")),
        sa.ForeignKeyConstraint(["to_state_id"], ["build_state.id"], name=op.f("fk_pin_move_to_state_id_build_state")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pin_move")),
    )
    with op.batch_alter_table("pin_move", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_pin_move_run_id"), ["run_id"], unique=False)

    op.create_table(
        "run_pack",
        sa.Column("run_id", sa.Integer(), nullable=False),
        sa.Column("pack_id", sa.Integer(), nullable=False),
        sa.Column("wiring", sa.String(), nullable=False),
        sa.Column("start_temperature_c", sa.Float(), nullable=True),
        sa.Column("rested_v", sa.Float(), nullable=True),
        sa.Column("charge_mah", sa.Float(), nullable=True),
        sa.Column("end_v", sa.Float(), nullable=True),
        sa.Column("volts_after", sa.String(), nullable=False),
        sa.CheckConstraint(
            "charge_mah IS NULL OR (typeof(charge_mah) IN ('integer', 'real') AND charge_mah >= 0 AND charge_mah <= 100000)",
            name=op.f("ck_run_pack_charge_mah"),
        ),
        sa.CheckConstraint(
            "end_v IS NULL OR (typeof(end_v) IN ('integer', 'real') AND end_v >= 0 AND end_v <= 120)",
            name=op.f("ck_run_pack_end_v"),
        ),
        sa.CheckConstraint(
            "rested_v IS NULL OR (typeof(rested_v) IN ('integer', 'real') AND rested_v >= 0 AND rested_v <= 120)",
            name=op.f("ck_run_pack_rested_v"),
        ),
        sa.CheckConstraint(
            "start_temperature_c IS NULL OR (typeof(start_temperature_c) IN ('integer', 'real') AND start_temperature_c >= -30 AND start_temperature_c <= 90)",
            name=op.f("ck_run_pack_start_temperature_c"),
        ),
        sa.CheckConstraint(
            "wiring IN ('single', 'series', 'parallel', 'left', 'right')", name=op.f("ck_run_pack_wiring")
        ),
        sa.ForeignKeyConstraint(["pack_id"], ["pack.id"], name=op.f("fk_run_pack_pack_id_pack")),
        sa.ForeignKeyConstraint(["run_id"], ["run.id"], name=op.f("fk_run_pack_run_id_run")),
        sa.PrimaryKeyConstraint("run_id", "pack_id", name=op.f("pk_run_pack")),
    )
    with op.batch_alter_table("run_pack", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_run_pack_pack_id"), ["pack_id"], unique=False)

    op.create_table(
        "run_prop",
        sa.Column("run_id", sa.Integer(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("edition_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("place IN ('single', 'left', 'right')", name=op.f("ck_run_prop_place")),
        sa.ForeignKeyConstraint(["edition_id"], ["prop_edition.id"], name=op.f("fk_run_prop_edition_id_prop_edition")),
        sa.ForeignKeyConstraint(["run_id"], ["run.id"], name=op.f("fk_run_prop_run_id_run")),
        sa.PrimaryKeyConstraint("run_id", "place", name=op.f("pk_run_prop")),
    )
    with op.batch_alter_table("run_prop", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_run_prop_edition_id"), ["edition_id"], unique=False)

    op.create_table(
        "run_temperature",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("run_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("spot", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("pack_id", sa.Integer(), nullable=True),
        sa.Column("temperature_c", sa.Float(), nullable=False),
        sa.Column("seconds_after", sa.Float(), nullable=True),
        sa.Column("note", sa.String(), nullable=False),
        sa.CheckConstraint("place IN ('single', 'left', 'right')", name=op.f("ck_run_temperature_place")),
        sa.CheckConstraint(
            "seconds_after IS NULL OR (typeof(seconds_after) IN ('integer', 'real') AND seconds_after >= 0 AND seconds_after <= 86400)",
            name=op.f("ck_run_temperature_seconds_after"),
        ),
        sa.CheckConstraint(
            "spot IN ('motor end bell', 'speed controller', 'pack', 'wires and plugs', 'other')",
            name=op.f("ck_run_temperature_spot"),
        ),
        sa.CheckConstraint(
            "temperature_c IS NULL OR (typeof(temperature_c) IN ('integer', 'real') AND temperature_c >= -30 AND temperature_c <= 300)",
            name=op.f("ck_run_temperature_temperature_c"),
        ),
        sa.ForeignKeyConstraint(["pack_id"], ["pack.id"], name=op.f("fk_run_temperature_pack_id_pack")),
        sa.ForeignKeyConstraint(["run_id"], ["run.id"], name=op.f("fk_run_temperature_run_id_run")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_run_temperature")),
    )
    with op.batch_alter_table("run_temperature", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_run_temperature_run_id"), ["run_id"], unique=False)

    op.create_table(
        "step",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("modification_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("action", sa.String(), nullable=False),
        sa.Column("what", sa.String(), nullable=False),
        sa.Column("material", sa.String(), nullable=False),
        sa.Column("density_kg_m3", sa.Float(), nullable=True),
        sa.Column("section", sa.String(), nullable=False),
        sa.Column("width_mm", sa.Float(), nullable=True),
        sa.Column("height_mm", sa.Float(), nullable=True),
        sa.Column("wall_mm", sa.Float(), nullable=True),
        sa.Column("diameter_mm", sa.Float(), nullable=True),
        sa.Column("area_mm2", sa.Float(), nullable=True),
        sa.Column("length_mm", sa.Float(), nullable=True),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("adds_mass", sa.Boolean(), nullable=False),
        sa.Column("adhesive", sa.String(), nullable=False),
        sa.Column("cure_h", sa.Float(), nullable=True),
        sa.Column("cure_temperature_c", sa.Float(), nullable=True),
        sa.Column("finish", sa.String(), nullable=False),
        sa.Column("coats", sa.Integer(), nullable=True),
        sa.Column("minutes_spent", sa.Float(), nullable=True),
        sa.Column("mass_weighed_g", sa.Float(), nullable=True),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("done_at", sa.String(), nullable=True),
        sa.Column("set_aside_at", sa.String(), nullable=True),
        sa.Column("in_change_id", sa.Integer(), nullable=True),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.CheckConstraint(
            "action IN ('mark out', 'cut', 'shape', 'bend', 'bond', 'fair', 'sand', 'seal', 'paint', 'drill', 'tape', 'fit', 'weigh', 'other')",
            name=op.f("ck_step_action"),
        ),
        sa.CheckConstraint(
            "area_mm2 IS NULL OR (typeof(area_mm2) IN ('integer', 'real') AND area_mm2 >= 0 AND area_mm2 <= 1000000)",
            name=op.f("ck_step_area_mm2"),
        ),
        sa.CheckConstraint(
            "coats IS NULL OR (typeof(coats) IN ('integer', 'real') AND coats >= 0 AND coats <= 100)",
            name=op.f("ck_step_coats"),
        ),
        sa.CheckConstraint(
            "count IS NULL OR (typeof(count) IN ('integer', 'real') AND count >= 1 AND count <= 1000)",
            name=op.f("ck_step_count"),
        ),
        sa.CheckConstraint(
            "created_at IS NULL OR created_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_step_created_at"),
        ),
        sa.CheckConstraint(
            "cure_h IS NULL OR (typeof(cure_h) IN ('integer', 'real') AND cure_h >= 0 AND cure_h <= 10000)",
            name=op.f("ck_step_cure_h"),
        ),
        sa.CheckConstraint(
            "cure_temperature_c IS NULL OR (typeof(cure_temperature_c) IN ('integer', 'real') AND cure_temperature_c >= -20 AND cure_temperature_c <= 150)",
            name=op.f("ck_step_cure_temperature_c"),
        ),
        sa.CheckConstraint(
            "density_kg_m3 IS NULL OR (typeof(density_kg_m3) IN ('integer', 'real') AND density_kg_m3 >= 1 AND density_kg_m3 <= 25000)",
            name=op.f("ck_step_density_kg_m3"),
        ),
        sa.CheckConstraint(
            "diameter_mm IS NULL OR (typeof(diameter_mm) IN ('integer', 'real') AND diameter_mm >= 0 AND diameter_mm <= 2000)",
            name=op.f("ck_step_diameter_mm"),
        ),
        sa.CheckConstraint(
            "done_at IS NULL OR done_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'",
            name=op.f("ck_step_done_at"),
        ),
        sa.CheckConstraint(
            "height_mm IS NULL OR (typeof(height_mm) IN ('integer', 'real') AND height_mm >= 0 AND height_mm <= 2000)",
            name=op.f("ck_step_height_mm"),
        ),
        sa.CheckConstraint(
            "length_mm IS NULL OR (typeof(length_mm) IN ('integer', 'real') AND length_mm >= 0 AND length_mm <= 10000)",
            name=op.f("ck_step_length_mm"),
        ),
        sa.CheckConstraint(
            "mass_weighed_g IS NULL OR (typeof(mass_weighed_g) IN ('integer', 'real') AND mass_weighed_g >= -50000 AND mass_weighed_g <= 50000)",
            name=op.f("ck_step_mass_weighed_g"),
        ),
        sa.CheckConstraint(
            "minutes_spent IS NULL OR (typeof(minutes_spent) IN ('integer', 'real') AND minutes_spent >= 0 AND minutes_spent <= 100000)",
            name=op.f("ck_step_minutes_spent"),
        ),
        sa.CheckConstraint(
            "position IS NULL OR (typeof(position) IN ('integer', 'real') AND position >= 0)",
            name=op.f("ck_step_position"),
        ),
        sa.CheckConstraint(
            "wall_mm IS NULL OR (typeof(wall_mm) IN ('integer', 'real') AND wall_mm >= 0 AND wall_mm <= 200)",
            name=op.f("ck_step_wall_mm"),
        ),
        sa.CheckConstraint(
            "width_mm IS NULL OR (typeof(width_mm) IN ('integer', 'real') AND width_mm >= 0 AND width_mm <= 2000)",
            name=op.f("ck_step_width_mm"),
        ),
        sa.ForeignKeyConstraint(["in_change_id"], ["change.id"], name=op.f("fk_step_in_change_id_change")),
        sa.ForeignKeyConstraint(
            ["modification_id"], ["modification.id"], name=op.f("fk_step_modification_id_modification")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_step")),
    )
    with op.batch_alter_table("step", schema=None) as batch_op:
        batch_op.create_index(
            "ix_bin_step", ["set_aside_at"], unique=False, sqlite_where=sa.text("set_aside_at IS NOT NULL")
        )
        batch_op.create_index("ix_step_in_change_id", ["in_change_id"], unique=False)
        batch_op.create_index("ix_step_modification_id_position", ["modification_id", "position"], unique=False)

    op.create_table(
        "log_channel",
        sa.Column("log_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("resolution", sa.Float(), nullable=False),
        sa.Column("samples", sa.Integer(), nullable=False),
        sa.Column("block", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["log_id"], ["log_file.id"], name=op.f("fk_log_channel_log_id_log_file")),
        sa.PrimaryKeyConstraint("log_id", "name", name=op.f("pk_log_channel")),
    )
    op.create_table(
        "log_piece",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("log_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("run_id", sa.Integer(), nullable=True),
        sa.Column("start_s", sa.Float(), nullable=False),
        sa.Column("end_s", sa.Float(), nullable=False),
        sa.Column("top_kmh", sa.Float(), nullable=True),
        sa.Column("peak_kmh", sa.Float(), nullable=True),
        sa.Column("two_way_kmh", sa.Float(), nullable=True),
        sa.Column("found", sa.String(), nullable=False),
        sa.CheckConstraint("end_s IS NULL OR (typeof(end_s) IN ('integer', 'real'))", name=op.f("ck_log_piece_end_s")),
        sa.CheckConstraint(
            "peak_kmh IS NULL OR (typeof(peak_kmh) IN ('integer', 'real') AND peak_kmh >= 0 AND peak_kmh <= 500)",
            name=op.f("ck_log_piece_peak_kmh"),
        ),
        sa.CheckConstraint(
            "start_s IS NULL OR (typeof(start_s) IN ('integer', 'real'))", name=op.f("ck_log_piece_start_s")
        ),
        sa.CheckConstraint(
            "top_kmh IS NULL OR (typeof(top_kmh) IN ('integer', 'real') AND top_kmh >= 0 AND top_kmh <= 500)",
            name=op.f("ck_log_piece_top_kmh"),
        ),
        sa.CheckConstraint(
            "two_way_kmh IS NULL OR (typeof(two_way_kmh) IN ('integer', 'real') AND two_way_kmh >= 0 AND two_way_kmh <= 500)",
            name=op.f("ck_log_piece_two_way_kmh"),
        ),
        sa.ForeignKeyConstraint(["log_id"], ["log_file.id"], name=op.f("fk_log_piece_log_id_log_file")),
        sa.ForeignKeyConstraint(["run_id"], ["run.id"], name=op.f("fk_log_piece_run_id_run")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_log_piece")),
        sa.UniqueConstraint("log_id", "number", name=op.f("uq_log_piece_log_id_number")),
    )
    with op.batch_alter_table("log_piece", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_log_piece_run_id"), ["run_id"], unique=False)

    op.create_table(
        "log_restored",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("log_id", sa.Integer(), nullable=False),
        sa.Column("first_sample", sa.Integer(), nullable=False),
        sa.Column("last_sample", sa.Integer(), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("taken_back_at", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["log_id"], ["log_file.id"], name=op.f("fk_log_restored_log_id_log_file")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_log_restored")),
    )
    with op.batch_alter_table("log_restored", schema=None) as batch_op:
        batch_op.create_index("ix_log_restored_log_id", ["log_id"], unique=False)

    op.create_table(
        "log_corner",
        sa.Column("piece_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("entry_kmh", sa.Float(), nullable=False),
        sa.Column("lowest_kmh", sa.Float(), nullable=False),
        sa.Column("exit_kmh", sa.Float(), nullable=False),
        sa.Column("radius_m", sa.Float(), nullable=False),
        sa.Column("lateral_g", sa.Float(), nullable=False),
        sa.Column("kept_percent", sa.Float(), nullable=False),
        sa.Column("turned_deg", sa.Float(), nullable=False),
        sa.CheckConstraint(
            "entry_kmh IS NULL OR (typeof(entry_kmh) IN ('integer', 'real') AND entry_kmh >= 0 AND entry_kmh <= 500)",
            name=op.f("ck_log_corner_entry_kmh"),
        ),
        sa.CheckConstraint(
            "lateral_g IS NULL OR (typeof(lateral_g) IN ('integer', 'real') AND lateral_g >= 0 AND lateral_g <= 1000)",
            name=op.f("ck_log_corner_lateral_g"),
        ),
        sa.ForeignKeyConstraint(["piece_id"], ["log_piece.id"], name=op.f("fk_log_corner_piece_id_log_piece")),
        sa.PrimaryKeyConstraint("piece_id", "number", name=op.f("pk_log_corner")),
    )
    op.execute(
        "CREATE VIRTUAL TABLE search_text USING fts5(title, body, tokenize = 'unicode61 remove_diacritics 2', prefix = '2 3')"
    )


def downgrade() -> None:
    raise NotImplementedError("the snapshot made before the upgrade is the way back")
