"""The first form of the book."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "brood",
        sa.Column("code", sa.Text(), nullable=False),
        sa.Column("taxon", sa.Text(), nullable=False),
        sa.Column("mother_id", sa.Integer(), nullable=True),
        sa.Column("pairing_id", sa.Integer(), nullable=True),
        sa.Column("opened_on", sa.Date(), nullable=False),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["mother_id"], ["moth.id"], name=op.f("fk_brood_mother_id")
        ),
        sa.ForeignKeyConstraint(
            ["pairing_id"], ["pairing.id"], name=op.f("fk_brood_pairing_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_brood")),
        sa.UniqueConstraint("code", name=op.f("uq_brood_code")),
    )
    op.create_index("ix_brood_mother_id", "brood", ["mother_id"])
    op.create_index("ix_brood_pairing_id", "brood", ["pairing_id"])

    op.create_table(
        "change",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=24), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("sentence", sa.Text(), nullable=False),
        sa.Column("undone", sa.Boolean(), nullable=False),
        sa.Column("about_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(
            ["about_id"], ["change.id"], name=op.f("fk_change_about_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_change")),
    )
    op.create_index("ix_change_undone", "change", ["undone"])

    op.create_table(
        "fact",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fact")),
        sa.UniqueConstraint("name", name=op.f("uq_fact_name")),
    )
    op.create_table(
        "moth",
        sa.Column("code", sa.Text(), nullable=False),
        sa.Column("night_id", sa.Integer(), nullable=True),
        sa.Column("arrival_id", sa.Integer(), nullable=True),
        sa.Column("brood_id", sa.Integer(), nullable=True),
        sa.Column("taxon", sa.Text(), nullable=False),
        sa.Column("sex", sa.String(length=32), nullable=False),
        sa.Column("since", sa.Date(), nullable=False),
        sa.Column("kept_at", sa.String(length=24), nullable=True),
        sa.Column("wings", sa.String(length=32), nullable=False),
        sa.Column("mated", sa.String(length=32), nullable=False),
        sa.Column("container", sa.Text(), nullable=True),
        sa.Column("fate", sa.String(length=32), nullable=True),
        sa.Column("fate_on", sa.Date(), nullable=True),
        sa.Column("fate_where", sa.Text(), nullable=True),
        sa.Column("fate_note", sa.Text(), nullable=True),
        sa.Column("permit", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["arrival_id"], ["arrival.id"], name=op.f("fk_moth_arrival_id")
        ),
        sa.ForeignKeyConstraint(
            ["brood_id"], ["brood.id"], name=op.f("fk_moth_brood_id")
        ),
        sa.ForeignKeyConstraint(
            ["night_id"], ["lamp_night.id"], name=op.f("fk_moth_night_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_moth")),
        sa.UniqueConstraint("code", name=op.f("uq_moth_code")),
    )
    op.create_index("ix_moth_arrival_id", "moth", ["arrival_id"])
    op.create_index("ix_moth_brood_id", "moth", ["brood_id"])
    op.create_index("ix_moth_night_id", "moth", ["night_id"])

    op.create_table(
        "note",
        sa.Column("subject", sa.Text(), nullable=False),
        sa.Column("subject_id", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_note")),
    )
    op.create_index("ix_note_subject_subject_id", "note", ["subject", "subject_id"])

    op.create_table(
        "pairing",
        sa.Column("dam_id", sa.Integer(), nullable=False),
        sa.Column("sire_kind", sa.String(length=32), nullable=False),
        sa.Column("sire_id", sa.Integer(), nullable=True),
        sa.Column("night_id", sa.Integer(), nullable=True),
        sa.Column("site_id", sa.Integer(), nullable=True),
        sa.Column("evening", sa.Date(), nullable=False),
        sa.Column("coupled_at", sa.String(length=24), nullable=True),
        sa.Column("parted_at", sa.String(length=24), nullable=True),
        sa.Column("where", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["dam_id"], ["moth.id"], name=op.f("fk_pairing_dam_id")
        ),
        sa.ForeignKeyConstraint(
            ["night_id"], ["lamp_night.id"], name=op.f("fk_pairing_night_id")
        ),
        sa.ForeignKeyConstraint(
            ["sire_id"], ["moth.id"], name=op.f("fk_pairing_sire_id")
        ),
        sa.ForeignKeyConstraint(
            ["site_id"], ["site.id"], name=op.f("fk_pairing_site_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pairing")),
    )
    op.create_index("ix_pairing_dam_id", "pairing", ["dam_id"])
    op.create_index("ix_pairing_night_id", "pairing", ["night_id"])
    op.create_index("ix_pairing_sire_id", "pairing", ["sire_id"])

    op.create_table(
        "place",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("walking_order", sa.Integer(), nullable=False),
        sa.Column("set_point_c", sa.Double(), nullable=True),
        sa.Column("spread_c", sa.Double(), nullable=True),
        sa.Column("outdoors", sa.Boolean(), nullable=False),
        sa.Column("leaf_life_days", sa.Double(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_place")),
        sa.UniqueConstraint("name", name=op.f("uq_place_name")),
    )
    op.create_table(
        "site",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("latitude", sa.Double(), nullable=False),
        sa.Column("longitude", sa.Double(), nullable=False),
        sa.Column("elevation_m", sa.Double(), nullable=True),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("grid", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_site")),
        sa.UniqueConstraint("name", name=op.f("uq_site_name")),
    )
    op.create_table(
        "tree",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("host", sa.Text(), nullable=False),
        sa.Column("where", sa.Text(), nullable=True),
        sa.Column("owner", sa.Text(), nullable=True),
        sa.Column("closed_from", sa.Date(), nullable=True),
        sa.Column("closed_until", sa.Date(), nullable=True),
        sa.Column("closed_why", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tree")),
        sa.UniqueConstraint("name", name=op.f("uq_tree_name")),
    )
    op.create_table(
        "box",
        sa.Column("brood_id", sa.Integer(), nullable=False),
        sa.Column("label", sa.Text(), nullable=False),
        sa.Column("kind", sa.String(length=32), nullable=False),
        sa.Column("host", sa.Text(), nullable=True),
        sa.Column("tree_id", sa.Integer(), nullable=True),
        sa.Column("opened_on", sa.Date(), nullable=False),
        sa.Column("closed_on", sa.Date(), nullable=True),
        sa.Column("closed_why", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["brood_id"], ["brood.id"], name=op.f("fk_box_brood_id")
        ),
        sa.ForeignKeyConstraint(["tree_id"], ["tree.id"], name=op.f("fk_box_tree_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_box")),
    )
    op.create_index("ix_box_brood_id", "box", ["brood_id"])

    op.create_table(
        "change_row",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("change_id", sa.Integer(), nullable=False),
        sa.Column("table_name", sa.Text(), nullable=False),
        sa.Column("row_id", sa.Integer(), nullable=False),
        sa.Column("before", sa.Text(), nullable=True),
        sa.Column("after", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(
            ["change_id"], ["change.id"], name=op.f("fk_change_row_change_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_change_row")),
    )
    op.create_index("ix_change_row_change_id", "change_row", ["change_id"])

    op.create_table(
        "cut",
        sa.Column("tree_id", sa.Integer(), nullable=True),
        sa.Column("host", sa.Text(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("grams", sa.Double(), nullable=True),
        sa.Column("storage", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(["tree_id"], ["tree.id"], name=op.f("fk_cut_tree_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cut")),
    )
    op.create_index("ix_cut_tree_id", "cut", ["tree_id"])

    op.create_table(
        "egg_pot",
        sa.Column("brood_id", sa.Integer(), nullable=False),
        sa.Column("label", sa.Text(), nullable=False),
        sa.Column("opened_on", sa.Date(), nullable=False),
        sa.Column("closed_on", sa.Date(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["brood_id"], ["brood.id"], name=op.f("fk_egg_pot_brood_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_egg_pot")),
    )
    op.create_index("ix_egg_pot_brood_id", "egg_pot", ["brood_id"])

    op.create_table(
        "lamp_night",
        sa.Column("site_id", sa.Integer(), nullable=False),
        sa.Column("station", sa.Text(), nullable=False),
        sa.Column("evening", sa.Date(), nullable=False),
        sa.Column("lamp", sa.Text(), nullable=False),
        sa.Column("lamp_on", sa.String(length=24), nullable=True),
        sa.Column("lamp_off", sa.String(length=24), nullable=True),
        sa.Column("mode", sa.String(length=32), nullable=False),
        sa.Column("start_c", sa.Double(), nullable=True),
        sa.Column("end_c", sa.Double(), nullable=True),
        sa.Column("weather", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["site_id"], ["site.id"], name=op.f("fk_lamp_night_site_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lamp_night")),
        sa.UniqueConstraint(
            "site_id",
            "evening",
            "station",
            name=op.f("uq_lamp_night_site_id_evening_station"),
        ),
    )
    op.create_index("ix_lamp_night_evening", "lamp_night", ["evening"])

    op.create_table(
        "reading_import",
        sa.Column("place_id", sa.Integer(), nullable=True),
        sa.Column("file_name", sa.Text(), nullable=False),
        sa.Column("column", sa.Text(), nullable=False),
        sa.Column("daily", sa.Boolean(), nullable=False),
        sa.Column("first_s", sa.Integer(), nullable=False),
        sa.Column("last_s", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("set_aside", sa.Integer(), nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("withdrawn", sa.Boolean(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["place_id"], ["place.id"], name=op.f("fk_reading_import_place_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_reading_import")),
    )
    op.create_index("ix_reading_import_place_id", "reading_import", ["place_id"])

    op.create_table(
        "daily_reading",
        sa.Column("import_id", sa.Integer(), nullable=False),
        sa.Column("at_s", sa.Integer(), nullable=False),
        sa.Column("low_c", sa.Double(), nullable=False),
        sa.Column("high_c", sa.Double(), nullable=False),
        sa.ForeignKeyConstraint(
            ["import_id"],
            ["reading_import.id"],
            name=op.f("fk_daily_reading_import_id"),
        ),
        sa.PrimaryKeyConstraint("import_id", "at_s", name=op.f("pk_daily_reading")),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "egg_outcome",
        sa.Column("pot_id", sa.Integer(), nullable=False),
        sa.Column("fate", sa.String(length=32), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("known", sa.String(length=32), nullable=False),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["pot_id"], ["egg_pot.id"], name=op.f("fk_egg_outcome_pot_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_egg_outcome")),
    )
    op.create_index("ix_egg_outcome_pot_id", "egg_outcome", ["pot_id"])

    op.create_table(
        "exit",
        sa.Column("box_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=32), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("stage", sa.Text(), nullable=True),
        sa.Column("to_whom", sa.Text(), nullable=True),
        sa.Column("where", sa.Text(), nullable=True),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("at", sa.String(length=24), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(["box_id"], ["box.id"], name=op.f("fk_exit_box_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_exit")),
    )
    op.create_index("ix_exit_box_id", "exit", ["box_id"])

    op.create_table(
        "headcount",
        sa.Column("box_id", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("at", sa.String(length=24), nullable=True),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("quality", sa.String(length=32), nullable=False),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["box_id"], ["box.id"], name=op.f("fk_headcount_box_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_headcount")),
    )
    op.create_index("ix_headcount_box_id_on", "headcount", ["box_id", "on"])

    op.create_table(
        "lamp_check",
        sa.Column("night_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=24), nullable=True),
        sa.Column("known", sa.String(length=32), nullable=False),
        sa.Column("temperature_c", sa.Double(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["night_id"], ["lamp_night.id"], name=op.f("fk_lamp_check_night_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lamp_check")),
    )
    op.create_index("ix_lamp_check_night_id", "lamp_check", ["night_id"])

    op.create_table(
        "laying",
        sa.Column("brood_id", sa.Integer(), nullable=False),
        sa.Column("mother_id", sa.Integer(), nullable=True),
        sa.Column("pot_id", sa.Integer(), nullable=False),
        sa.Column("evening", sa.Date(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("quality", sa.String(length=32), nullable=False),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["brood_id"], ["brood.id"], name=op.f("fk_laying_brood_id")
        ),
        sa.ForeignKeyConstraint(
            ["mother_id"], ["moth.id"], name=op.f("fk_laying_mother_id")
        ),
        sa.ForeignKeyConstraint(
            ["pot_id"], ["egg_pot.id"], name=op.f("fk_laying_pot_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_laying")),
    )
    op.create_index("ix_laying_brood_id", "laying", ["brood_id"])
    op.create_index("ix_laying_mother_id", "laying", ["mother_id"])
    op.create_index("ix_laying_pot_id", "laying", ["pot_id"])

    op.create_table(
        "loss",
        sa.Column("box_id", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("at", sa.String(length=24), nullable=True),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("stage", sa.String(length=32), nullable=True),
        sa.Column("cause", sa.String(length=32), nullable=False),
        sa.Column("known", sa.String(length=32), nullable=False),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(["box_id"], ["box.id"], name=op.f("fk_loss_box_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_loss")),
    )
    op.create_index("ix_loss_box_id_on", "loss", ["box_id", "on"])

    op.create_table(
        "move",
        sa.Column("from_box_id", sa.Integer(), nullable=True),
        sa.Column("from_pot_id", sa.Integer(), nullable=True),
        sa.Column("to_box_id", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("at", sa.String(length=24), nullable=True),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("stage", sa.String(length=32), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["from_box_id"], ["box.id"], name=op.f("fk_move_from_box_id")
        ),
        sa.ForeignKeyConstraint(
            ["from_pot_id"], ["egg_pot.id"], name=op.f("fk_move_from_pot_id")
        ),
        sa.ForeignKeyConstraint(
            ["to_box_id"], ["box.id"], name=op.f("fk_move_to_box_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_move")),
    )
    op.create_index("ix_move_from_box_id", "move", ["from_box_id"])
    op.create_index("ix_move_from_pot_id", "move", ["from_pot_id"])
    op.create_index("ix_move_to_box_id", "move", ["to_box_id"])

    op.create_table(
        "outage",
        sa.Column("night_id", sa.Integer(), nullable=False),
        sa.Column("from_at", sa.String(length=24), nullable=False),
        sa.Column("to_at", sa.String(length=24), nullable=False),
        sa.Column("why", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["night_id"], ["lamp_night.id"], name=op.f("fk_outage_night_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_outage")),
    )
    op.create_index("ix_outage_night_id", "outage", ["night_id"])

    op.create_table(
        "reading",
        sa.Column("import_id", sa.Integer(), nullable=False),
        sa.Column("at_s", sa.Integer(), nullable=False),
        sa.Column("celsius", sa.Double(), nullable=False),
        sa.ForeignKeyConstraint(
            ["import_id"], ["reading_import.id"], name=op.f("fk_reading_import_id")
        ),
        sa.PrimaryKeyConstraint("import_id", "at_s", name=op.f("pk_reading")),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "reading_set_aside",
        sa.Column("import_id", sa.Integer(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["import_id"],
            ["reading_import.id"],
            name=op.f("fk_reading_set_aside_import_id"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_reading_set_aside")),
    )
    op.create_index(
        "ix_reading_set_aside_import_id_line",
        "reading_set_aside",
        ["import_id", "line"],
    )

    op.create_table(
        "stage_look",
        sa.Column("box_id", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("at", sa.String(length=24), nullable=True),
        sa.Column("quality", sa.String(length=32), nullable=False),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["box_id"], ["box.id"], name=op.f("fk_stage_look_box_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stage_look")),
    )
    op.create_index("ix_stage_look_box_id_on", "stage_look", ["box_id", "on"])

    op.create_table(
        "stay",
        sa.Column("box_id", sa.Integer(), nullable=True),
        sa.Column("pot_id", sa.Integer(), nullable=True),
        sa.Column("place_id", sa.Integer(), nullable=False),
        sa.Column("from_at", sa.String(length=24), nullable=False),
        sa.Column("to_at", sa.String(length=24), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(["box_id"], ["box.id"], name=op.f("fk_stay_box_id")),
        sa.ForeignKeyConstraint(
            ["place_id"], ["place.id"], name=op.f("fk_stay_place_id")
        ),
        sa.ForeignKeyConstraint(
            ["pot_id"], ["egg_pot.id"], name=op.f("fk_stay_pot_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stay")),
    )
    op.create_index("ix_stay_box_id", "stay", ["box_id"])
    op.create_index("ix_stay_place_id", "stay", ["place_id"])
    op.create_index("ix_stay_pot_id", "stay", ["pot_id"])

    op.create_table(
        "visit",
        sa.Column("box_id", sa.Integer(), nullable=True),
        sa.Column("pot_id", sa.Integer(), nullable=True),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("at", sa.String(length=24), nullable=True),
        sa.Column("what", sa.String(length=32), nullable=False),
        sa.Column("host", sa.Text(), nullable=True),
        sa.Column("cut_id", sa.Integer(), nullable=True),
        sa.Column("grams", sa.Double(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(["box_id"], ["box.id"], name=op.f("fk_visit_box_id")),
        sa.ForeignKeyConstraint(["cut_id"], ["cut.id"], name=op.f("fk_visit_cut_id")),
        sa.ForeignKeyConstraint(
            ["pot_id"], ["egg_pot.id"], name=op.f("fk_visit_pot_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_visit")),
    )
    op.create_index("ix_visit_box_id_on", "visit", ["box_id", "on"])
    op.create_index("ix_visit_on", "visit", ["on"])
    op.create_index("ix_visit_pot_id", "visit", ["pot_id"])

    op.create_table(
        "arrival",
        sa.Column("check_id", sa.Integer(), nullable=False),
        sa.Column("taxon", sa.Text(), nullable=False),
        sa.Column("sex", sa.String(length=32), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("quality", sa.String(length=32), nullable=False),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["check_id"], ["lamp_check.id"], name=op.f("fk_arrival_check_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_arrival")),
    )
    op.create_index("ix_arrival_check_id", "arrival", ["check_id"])
    op.create_index("ix_arrival_taxon", "arrival", ["taxon"])

    op.create_table(
        "stage_count",
        sa.Column("look_id", sa.Integer(), nullable=False),
        sa.Column("stage", sa.String(length=32), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("resting", sa.Integer(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["look_id"], ["stage_look.id"], name=op.f("fk_stage_count_look_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stage_count")),
    )
    op.create_index("ix_stage_count_look_id", "stage_count", ["look_id"])

    op.create_table(
        "determination",
        sa.Column("arrival_id", sa.Integer(), nullable=True),
        sa.Column("moth_id", sa.Integer(), nullable=True),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("taxon", sa.Text(), nullable=False),
        sa.Column("sex", sa.String(length=32), nullable=False),
        sa.Column("who", sa.Text(), nullable=True),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("sure", sa.String(length=32), nullable=False),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["arrival_id"], ["arrival.id"], name=op.f("fk_determination_arrival_id")
        ),
        sa.ForeignKeyConstraint(
            ["moth_id"], ["moth.id"], name=op.f("fk_determination_moth_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_determination")),
    )
    op.create_index("ix_determination_arrival_id", "determination", ["arrival_id"])
    op.create_index("ix_determination_moth_id", "determination", ["moth_id"])


def downgrade() -> None:
    raise RuntimeError("a book is restored from its copy, not migrated back")
