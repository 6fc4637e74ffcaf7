"""Keep whether the first half minute of a round hurt, and which reading made the rounds of a recording."""

from __future__ import annotations

from alembic import op

revision = "0020"
down_revision = "0019"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.execute("ALTER TABLE session_logs ADD COLUMN first_30_hurt INTEGER")
    op.execute("ALTER TABLE recordings ADD COLUMN rounds_version INTEGER")


def downgrade() -> None:
    op.execute("ALTER TABLE recordings DROP COLUMN rounds_version")
    op.execute("ALTER TABLE session_logs DROP COLUMN first_30_hurt")
