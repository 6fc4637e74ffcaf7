"""Find the few sessions that were changed, and the few notes of a changed medicine, without looking through them all.

What a month of plans says is read for everybody each morning. Of most sessions there is one version, and most notes
name no change of a medicine: the rest lie in indexes of their own.
"""

from __future__ import annotations

from alembic import op

revision = "0024"
down_revision = "0023"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.execute(
        "CREATE INDEX ix_planned_versions_changed "
        "ON planned_versions (client_id, planned_on, planned_session_id, version) WHERE version > 1"
    )
    op.execute(
        "CREATE INDEX ix_readiness_notes_medicine ON readiness_notes (client_id, noted_on) WHERE medicine_changed IS 1"
    )


def downgrade() -> None:
    op.drop_index("ix_readiness_notes_medicine", "readiness_notes")
    op.drop_index("ix_planned_versions_changed", "planned_versions")
