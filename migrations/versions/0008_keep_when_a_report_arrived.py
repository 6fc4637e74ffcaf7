"""Keep when a report from a phone arrived, beside when it was entered, and the id it was sent under."""

from __future__ import annotations

from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

ONCE = "uq_symptom_reports_client_request"


def upgrade() -> None:
    # Plain ADD COLUMN: the table stays STRICT, nothing is rebuilt. Earlier reports were entered where they are kept.
    op.execute("ALTER TABLE symptom_reports ADD COLUMN received_at TEXT")
    op.execute("ALTER TABLE symptom_reports ADD COLUMN request_id TEXT")
    op.create_index(ONCE, "symptom_reports", ["client_id", "request_id"], unique=True)


def downgrade() -> None:
    op.drop_index(ONCE, "symptom_reports")
    op.execute("ALTER TABLE symptom_reports DROP COLUMN request_id")
    op.execute("ALTER TABLE symptom_reports DROP COLUMN received_at")
