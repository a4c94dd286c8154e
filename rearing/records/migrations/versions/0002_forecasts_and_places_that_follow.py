"""Typed weather forecasts, and which place follows which."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "forecast_day",
        sa.Column("place_id", sa.Integer(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("low_c", sa.Double(), nullable=False),
        sa.Column("high_c", sa.Double(), nullable=False),
        sa.Column("given_on", sa.Date(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["place_id"], ["place.id"], name=op.f("fk_forecast_day_place_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_forecast_day")),
    )
    op.create_index("ix_forecast_day_place_id_day", "forecast_day", ["place_id", "day"])

    op.create_table(
        "place_follow",
        sa.Column("place_id", sa.Integer(), nullable=False),
        sa.Column("other_id", sa.Integer(), nullable=True),
        sa.Column("chosen_on", sa.Date(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), server_default="1", nullable=False),
        sa.ForeignKeyConstraint(
            ["other_id"], ["place.id"], name=op.f("fk_place_follow_other_id")
        ),
        sa.ForeignKeyConstraint(
            ["place_id"], ["place.id"], name=op.f("fk_place_follow_place_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_place_follow")),
    )
    op.create_index("ix_place_follow_place_id", "place_follow", ["place_id"])


def downgrade() -> None:
    raise RuntimeError("a book is restored from its copy, not migrated back")
