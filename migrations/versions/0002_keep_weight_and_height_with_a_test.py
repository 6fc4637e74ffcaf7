"""Keep weight and height with a test."""

from __future__ import annotations

from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

COLUMNS = {"weight_kg": (25, 300), "height_cm": (100, 250)}


def upgrade() -> None:
    # Plain ADD COLUMN: the table stays STRICT, nothing is rebuilt, and every earlier test simply has neither.
    for column, (lowest, highest) in COLUMNS.items():
        op.execute(
            f"ALTER TABLE fitness_tests ADD COLUMN {column} REAL CONSTRAINT"
            f" ck_fitness_tests_{column}_is_plausible CHECK ({column} BETWEEN {lowest} AND {highest})"
        )


def downgrade() -> None:
    for column in COLUMNS:
        op.execute(f"ALTER TABLE fitness_tests DROP COLUMN {column}")
