"""Mixed lines, sleeves moved, boxes apart, trees' years, measurements, photos, away."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("box", sa.Column("tools", sa.Text(), nullable=True))
    op.add_column("cut", sa.Column("gone_on", sa.Date(), nullable=True))

    op.create_table(
        "mixed_from",
        sa.Column("brood_id", sa.Integer(), nullable=False),
        sa.Column("source_id", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["brood_id"], ["brood.id"], name=op.f("fk_mixed_from_brood_id")
        ),
        sa.ForeignKeyConstraint(
            ["source_id"], ["brood.id"], name=op.f("fk_mixed_from_source_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_mixed_from")),
    )
    op.create_index("ix_mixed_from_brood_id", "mixed_from", ["brood_id"])
    op.create_index("ix_mixed_from_source_id", "mixed_from", ["source_id"])

    op.create_table(
        "sleeve_move",
        sa.Column("box_id", sa.Integer(), nullable=False),
        sa.Column("tree_id", sa.Integer(), nullable=True),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("at", sa.String(length=24), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["box_id"], ["box.id"], name=op.f("fk_sleeve_move_box_id")
        ),
        sa.ForeignKeyConstraint(
            ["tree_id"], ["tree.id"], name=op.f("fk_sleeve_move_tree_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sleeve_move")),
    )
    op.create_index("ix_sleeve_move_box_id", "sleeve_move", ["box_id"])
    op.create_index("ix_sleeve_move_tree_id", "sleeve_move", ["tree_id"])

    op.create_table(
        "set_apart",
        sa.Column("box_id", sa.Integer(), nullable=False),
        sa.Column("since", sa.Date(), nullable=False),
        sa.Column("until", sa.Date(), nullable=True),
        sa.Column("ended_on", sa.Date(), nullable=True),
        sa.Column("why", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["box_id"], ["box.id"], name=op.f("fk_set_apart_box_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_set_apart")),
    )
    op.create_index("ix_set_apart_box_id", "set_apart", ["box_id"])

    op.create_table(
        "tree_day",
        sa.Column("tree_id", sa.Integer(), nullable=False),
        sa.Column("sign", sa.String(length=32), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["tree_id"], ["tree.id"], name=op.f("fk_tree_day_tree_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tree_day")),
    )
    op.create_index("ix_tree_day_tree_id", "tree_day", ["tree_id"])

    op.create_table(
        "leaf_test",
        sa.Column("tree_id", sa.Integer(), nullable=False),
        sa.Column("box_id", sa.Integer(), nullable=True),
        sa.Column("begun_on", sa.Date(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("judged_on", sa.Date(), nullable=True),
        sa.Column("alive", sa.Integer(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["tree_id"], ["tree.id"], name=op.f("fk_leaf_test_tree_id")
        ),
        sa.ForeignKeyConstraint(
            ["box_id"], ["box.id"], name=op.f("fk_leaf_test_box_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_leaf_test")),
    )
    op.create_index("ix_leaf_test_box_id", "leaf_test", ["box_id"])
    op.create_index("ix_leaf_test_tree_id", "leaf_test", ["tree_id"])

    op.create_table(
        "measurement",
        sa.Column("box_id", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("what", sa.String(length=32), nullable=False),
        sa.Column("value", sa.Double(), nullable=False),
        sa.Column("stage", sa.String(length=32), nullable=True),
        sa.Column("animal", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["box_id"], ["box.id"], name=op.f("fk_measurement_box_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_measurement")),
    )
    op.create_index("ix_measurement_box_id_on", "measurement", ["box_id", "on"])

    op.create_table(
        "photo",
        sa.Column("subject", sa.Text(), nullable=False),
        sa.Column("subject_id", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("at", sa.String(length=24), nullable=True),
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("suffix", sa.Text(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("caption", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_photo")),
    )
    op.create_index("ix_photo_content", "photo", ["content"])
    op.create_index("ix_photo_subject_subject_id", "photo", ["subject", "subject_id"])

    op.create_table(
        "away",
        sa.Column("first_on", sa.Date(), nullable=False),
        sa.Column("last_on", sa.Date(), nullable=False),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_away")),
    )


def downgrade() -> None:
    raise RuntimeError("a book is restored from its copy, not migrated back")
