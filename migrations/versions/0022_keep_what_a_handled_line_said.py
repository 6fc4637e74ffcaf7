"""Keep beside a morning line that was handled or put off what it said then, so that its return says what is new."""

from __future__ import annotations

from alembic import op

revision = "0022"
down_revision = "0021"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.execute(
        "ALTER TABLE handled_signals ADD COLUMN shown_json TEXT "
        "CONSTRAINT ck_handled_signals_shown_json_is_json CHECK (substr(shown_json, 1, 1) IN ('{', '['))"
    )


def downgrade() -> None:
    op.execute("ALTER TABLE handled_signals DROP COLUMN shown_json")
