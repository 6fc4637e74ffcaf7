"""Keep of a recording how long the heart was above the edge of easy, where it was too long for an easy session."""

from __future__ import annotations

from alembic import op

revision = "0021"
down_revision = "0020"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.execute(
        "ALTER TABLE recordings ADD COLUMN above_easy_min REAL "
        "CONSTRAINT ck_recordings_above_easy_min_is_plausible CHECK (above_easy_min BETWEEN 0 AND 1440)"
    )
    op.execute(
        "CREATE INDEX ix_recordings_above_easy ON recordings (session_log_id) "
        "WHERE above_easy_min IS NOT NULL AND removed_at IS NULL"
    )


def downgrade() -> None:
    op.execute("DROP INDEX ix_recordings_above_easy")
    op.execute("ALTER TABLE recordings DROP COLUMN above_easy_min")
