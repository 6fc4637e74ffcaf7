"""Keep scans of clearances."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

TABLE = "clearance_scans"


def upgrade() -> None:
    op.create_table(
        TABLE,
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("clearance_id", sa.Integer(), nullable=False),
        sa.Column("media_type", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("size_bytes", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("added_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "media_type IN ('application/pdf', 'image/jpeg', 'image/png')",
            name=op.f("ck_clearance_scans_media_type_is_known"),
        ),
        sa.CheckConstraint(
            "size_bytes = length(content) AND size_bytes BETWEEN 1 AND 5242880",
            name=op.f("ck_clearance_scans_size_is_true"),
        ),
        sa.CheckConstraint("length(name) BETWEEN 1 AND 200", name=op.f("ck_clearance_scans_name_is_filled")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_clearance_scans_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["clearance_id"],
            ["clearances.id"],
            name=op.f("fk_clearance_scans_clearance_id_clearances"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_clearance_scans_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_clearance_scans")),
        sa.UniqueConstraint("clearance_id", "sha256", name=op.f("uq_clearance_scans_clearance_id")),
        sqlite_strict=True,
    )
    op.create_index("ix_clearance_scans_client_id", TABLE, ["client_id"], unique=False)
    op.create_index("ix_clearance_scans_person_id", TABLE, ["person_id"], unique=False)


def downgrade() -> None:
    op.drop_table(TABLE)
