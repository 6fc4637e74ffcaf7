"""Find what one person did lately without looking through all they ever did.

The morning asks each time what its reader eased or moved today; a year's trail of one coach holds many thousands.
"""

from __future__ import annotations

from alembic import op

revision = "0025"
down_revision = "0024"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.execute("CREATE INDEX ix_audit_trail_person ON audit_trail (person_id, at)")
    op.drop_index("ix_audit_trail_person_id", "audit_trail")


def downgrade() -> None:
    op.execute("CREATE INDEX ix_audit_trail_person_id ON audit_trail (person_id)")
    op.drop_index("ix_audit_trail_person", "audit_trail")
