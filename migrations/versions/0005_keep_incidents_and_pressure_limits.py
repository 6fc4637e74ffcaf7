"""Keep incidents and a clinician's pressure limits."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

WORDS = "'follow_up', 'correction', 'closed', 'reopened'"


def upgrade() -> None:
    _incidents()
    _incident_entries()
    _pressure_limits()
    # Only ever added to, whoever writes: a change is refused by the file itself.
    for table in ("incidents", "incident_entries"):
        op.execute(
            f"CREATE TRIGGER {table}_are_never_changed BEFORE UPDATE ON {table}"
            " BEGIN SELECT RAISE(ABORT, 'an incident is added to, never changed'); END"
        )


def downgrade() -> None:
    op.drop_table("pressure_limits")
    op.drop_table("incident_entries")
    op.drop_table("incidents")


def _incidents() -> None:
    op.create_table(
        "incidents",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("happened_on", sa.Text(), nullable=False),
        sa.Column("about_when", sa.Text(), nullable=False),
        sa.Column("activity", sa.Text(), nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("symptoms", sa.Text(), nullable=False),
        sa.Column("action_taken", sa.Text(), nullable=False),
        sa.Column("outcome", sa.Text(), nullable=False),
        sa.Column("hold_id", sa.Integer(), nullable=True),
        sa.Column("recorded_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "happened_on IS date(julianday(happened_on))", name=op.f("ck_incidents_happened_on_is_a_date")
        ),
        *(
            sa.CheckConstraint(f"length({name}) BETWEEN 1 AND {most}", name=op.f(f"ck_incidents_{name}_is_filled"))
            for name, most in (
                ("about_when", 40),
                ("activity", 200),
                ("place", 200),
                ("symptoms", 2000),
                ("action_taken", 2000),
                ("outcome", 2000),
            )
        ),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_incidents_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["hold_id"], ["holds.id"], name=op.f("fk_incidents_hold_id_holds"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_incidents_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_incidents")),
        sqlite_strict=True,
    )
    _index("incidents", "client_id", "hold_id", "person_id")


def _incident_entries() -> None:
    op.create_table(
        "incident_entries",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("incident_id", sa.Integer(), nullable=False),
        sa.Column("word", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("added_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.CheckConstraint(f"word IN ({WORDS})", name=op.f("ck_incident_entries_word_is_known")),
        sa.CheckConstraint("length(text) BETWEEN 1 AND 2000", name=op.f("ck_incident_entries_text_is_filled")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_incident_entries_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["incident_id"],
            ["incidents.id"],
            name=op.f("fk_incident_entries_incident_id_incidents"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_incident_entries_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_incident_entries")),
        sqlite_strict=True,
    )
    _index("incident_entries", "client_id", "incident_id", "person_id")


def _pressure_limits() -> None:
    op.create_table(
        "pressure_limits",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("systolic_mmhg", sa.Integer(), nullable=False),
        sa.Column("diastolic_mmhg", sa.Integer(), nullable=False),
        sa.Column("given_on", sa.Text(), nullable=False),
        sa.Column("signer", sa.Text(), nullable=False),
        sa.Column("profession", sa.Text(), nullable=False),
        sa.Column("how_seen", sa.Text(), nullable=False),
        sa.Column("recorded_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("taken_back_at", sa.Text(), nullable=True),
        sa.Column("taken_back_by", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "systolic_mmhg BETWEEN 100 AND 200", name=op.f("ck_pressure_limits_systolic_mmhg_is_plausible")
        ),
        sa.CheckConstraint(
            "diastolic_mmhg BETWEEN 60 AND 110", name=op.f("ck_pressure_limits_diastolic_mmhg_is_plausible")
        ),
        sa.CheckConstraint("diastolic_mmhg < systolic_mmhg", name=op.f("ck_pressure_limits_limits_in_order")),
        sa.CheckConstraint(
            "how_seen IN ('paper', 'copy', 'from_clinic')", name=op.f("ck_pressure_limits_how_seen_is_in_writing")
        ),
        sa.CheckConstraint(
            "(taken_back_at IS NULL) = (taken_back_by IS NULL)", name=op.f("ck_pressure_limits_taking_back_is_whole")
        ),
        sa.CheckConstraint(
            "given_on IS date(julianday(given_on))", name=op.f("ck_pressure_limits_given_on_is_a_date")
        ),
        sa.CheckConstraint("length(signer) BETWEEN 1 AND 200", name=op.f("ck_pressure_limits_signer_is_filled")),
        sa.CheckConstraint(
            "length(profession) BETWEEN 1 AND 200", name=op.f("ck_pressure_limits_profession_is_filled")
        ),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_pressure_limits_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_pressure_limits_person_id_people")),
        sa.ForeignKeyConstraint(
            ["taken_back_by"], ["people.id"], name=op.f("fk_pressure_limits_taken_back_by_people")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pressure_limits")),
        sqlite_strict=True,
    )
    _index("pressure_limits", "client_id", "person_id", "taken_back_by")


def _index(table: str, *columns: str) -> None:
    for column in columns:
        op.create_index(f"ix_{table}_{column}", table, [column], unique=False)
