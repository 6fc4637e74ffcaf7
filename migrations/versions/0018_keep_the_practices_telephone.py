"""Keep the practice's telephone, for clients who are told to tell their coach by phone."""

from __future__ import annotations

from alembic import op

revision = "0018"
down_revision = "0017"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.execute("ALTER TABLE practice ADD COLUMN phone TEXT")


def downgrade() -> None:
    op.execute("ALTER TABLE practice DROP COLUMN phone")
