"""Keep returns after illness, and hot days."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    _illness_returns()
    _heat_notes()


def downgrade() -> None:
    op.drop_table("heat_notes")
    op.drop_table("illness_returns")


def _illness_returns() -> None:
    op.create_table(
        "illness_returns",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("hold_id", sa.Integer(), nullable=False),
        sa.Column("well_since_on", sa.Text(), nullable=False),
        sa.Column("lifted_on", sa.Text(), nullable=False),
        sa.Column("days_lost", sa.Integer(), nullable=False),
        sa.Column("advice_from", sa.Text(), nullable=True),
        sa.Column("advice_on", sa.Text(), nullable=True),
        sa.Column("recorded_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        *(
            sa.CheckConstraint(
                f"{name} IS date(julianday({name}))", name=op.f(f"ck_illness_returns_{name}_is_a_date")
            )
            for name in ("well_since_on", "lifted_on", "advice_on")
        ),
        sa.CheckConstraint("days_lost BETWEEN 1 AND 3660", name=op.f("ck_illness_returns_days_lost_is_plausible")),
        sa.CheckConstraint(
            "(advice_from IS NULL) = (advice_on IS NULL)", name=op.f("ck_illness_returns_advice_is_whole")
        ),
        sa.CheckConstraint("well_since_on <= lifted_on", name=op.f("ck_illness_returns_well_before_lifted")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_illness_returns_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["hold_id"], ["holds.id"], name=op.f("fk_illness_returns_hold_id_holds"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_illness_returns_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_illness_returns")),
        sqlite_strict=True,
    )
    _index("illness_returns", "client_id", "hold_id", "person_id")


def _heat_notes() -> None:
    op.create_table(
        "heat_notes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("noted_on", sa.Text(), nullable=False),
        sa.Column("temperature_c", sa.REAL(), nullable=True),
        sa.Column("humidity_percent", sa.REAL(), nullable=True),
        sa.Column("wbgt_c", sa.REAL(), nullable=True),
        sa.Column("noted_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("noted_on IS date(julianday(noted_on))", name=op.f("ck_heat_notes_noted_on_is_a_date")),
        *(
            sa.CheckConstraint(
                f"{name} BETWEEN {lowest} AND {highest}", name=op.f(f"ck_heat_notes_{name}_is_plausible")
            )
            for name, lowest, highest in (
                ("temperature_c", -30, 55),
                ("humidity_percent", 0, 100),
                ("wbgt_c", -10, 45),
            )
        ),
        sa.CheckConstraint(
            "temperature_c IS NOT NULL OR wbgt_c IS NOT NULL", name=op.f("ck_heat_notes_something_measured")
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_heat_notes_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_heat_notes")),
        sqlite_strict=True,
    )
    _index("heat_notes", "noted_on", "person_id")


def _index(table: str, *columns: str) -> None:
    for column in columns:
        op.create_index(f"ix_{table}_{column}", table, [column], unique=False)
