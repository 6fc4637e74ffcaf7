"""Keep the rounds read from a recording, so that every rule that asks how a session was done sees them."""

from __future__ import annotations

from alembic import op

revision = "0019"
down_revision = "0018"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.execute(
        "ALTER TABLE recordings ADD COLUMN rounds_json TEXT "
        "CONSTRAINT ck_recordings_rounds_json_is_json CHECK (substr(rounds_json, 1, 1) IN ('{', '['))"
    )


def downgrade() -> None:
    op.execute("ALTER TABLE recordings DROP COLUMN rounds_json")
