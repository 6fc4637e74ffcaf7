"""Keep the language, the hour and the witness of a consent, and the hour it was taken back."""

from __future__ import annotations

from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

WITNESS = "CONSTRAINT ck_consents_witness_is_filled CHECK (length(witness) BETWEEN 1 AND 200)"


def upgrade() -> None:
    # Plain ADD COLUMN: the table stays STRICT, nothing is rebuilt. Every text so far was shown in English; when an
    # earlier consent was written down, and who saw it given, is not known and stays empty.
    op.execute("ALTER TABLE consents ADD COLUMN language TEXT NOT NULL DEFAULT 'en'")
    op.execute("ALTER TABLE consents ADD COLUMN recorded_at TEXT")
    op.execute(f"ALTER TABLE consents ADD COLUMN witness TEXT {WITNESS}")
    op.execute("ALTER TABLE consents ADD COLUMN withdrawn_at TEXT")


def downgrade() -> None:
    for column in ("withdrawn_at", "witness", "recorded_at", "language"):
        op.execute(f"ALTER TABLE consents DROP COLUMN {column}")
