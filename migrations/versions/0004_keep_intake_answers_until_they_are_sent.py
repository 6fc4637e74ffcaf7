"""Keep intake answers until they are sent."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "intake_answers",
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("question", sa.Text(), nullable=False),
        sa.Column("answer_json", sa.Text(), nullable=False),
        sa.Column("answered_at", sa.Text(), nullable=False),
        sa.CheckConstraint("length(question) BETWEEN 1 AND 60", name=op.f("ck_intake_answers_question_is_filled")),
        sa.CheckConstraint(
            "length(answer_json) BETWEEN 1 AND 4000", name=op.f("ck_intake_answers_answer_json_is_filled")
        ),
        sa.CheckConstraint(
            "substr(answer_json, 1, 1) IN ('{', '[')", name=op.f("ck_intake_answers_answer_json_is_json")
        ),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_intake_answers_client_id_clients"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("client_id", "question", name=op.f("pk_intake_answers")),
        sqlite_strict=True,
    )


def downgrade() -> None:
    # Answers that were never sent go with the table; everything sent stands in the records.
    op.drop_table("intake_answers")
