"""Keep the last forecast of each client."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "forecasts",
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("made_on", sa.Text(), nullable=False),
        sa.Column("made_at", sa.Text(), nullable=False),
        sa.Column("reckoned_from", sa.Text(), nullable=False),
        sa.Column("content_json", sa.Text(), nullable=False),
        sa.CheckConstraint("made_on IS date(julianday(made_on))", name=op.f("ck_forecasts_made_on_is_a_date")),
        sa.CheckConstraint(
            "substr(content_json, 1, 1) IN ('{', '[')", name=op.f("ck_forecasts_content_json_is_json")
        ),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_forecasts_client_id_clients"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("client_id", name=op.f("pk_forecasts")),
        sqlite_strict=True,
    )


def downgrade() -> None:
    op.drop_table("forecasts")
