"""Lay the first tables."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "clients",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("email", sa.Text(), nullable=True),
        sa.Column("phone", sa.Text(), nullable=True),
        sa.Column("born_on", sa.Text(), nullable=True),
        sa.Column("sex", sa.Text(), nullable=True),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("coach_id", sa.Integer(), nullable=False),
        sa.Column("has_phone", sa.Integer(), nullable=False),
        sa.Column("base_weeks_asked", sa.Integer(), nullable=True),
        sa.Column("regularly_active_confirmed_on", sa.Text(), nullable=True),
        sa.Column("heart_rate_use", sa.Text(), nullable=False),
        sa.Column("heart_rate_source", sa.Text(), nullable=True),
        sa.Column("effort_plan", sa.Text(), nullable=True),
        sa.Column("emergency_contact", sa.Text(), nullable=True),
        sa.Column("emergency_phone", sa.Text(), nullable=True),
        sa.Column("emergency_confirmed_on", sa.Text(), nullable=True),
        sa.Column("joined_on", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.Text(), nullable=False),
        sa.CheckConstraint(
            "heart_rate_use IN ('unknown', 'reliable', 'not_reliable')",
            name=op.f("ck_clients_heart_rate_use_is_known"),
        ),
        sa.CheckConstraint("sex IN ('F', 'M')", name=op.f("ck_clients_sex_is_known")),
        sa.CheckConstraint(
            "state IN ('asked', 'intake', 'waiting_for_clearance', 'active', 'paused', 'left')",
            name=op.f("ck_clients_state_is_known"),
        ),
        sa.CheckConstraint(
            "base_weeks_asked BETWEEN 13 AND 52", name=op.f("ck_clients_base_weeks_asked_is_plausible")
        ),
        sa.CheckConstraint("born_on IS date(julianday(born_on))", name=op.f("ck_clients_born_on_is_a_date")),
        sa.CheckConstraint("joined_on IS date(julianday(joined_on))", name=op.f("ck_clients_joined_on_is_a_date")),
        sa.CheckConstraint("length(name) BETWEEN 1 AND 200", name=op.f("ck_clients_name_is_filled")),
        sa.ForeignKeyConstraint(["coach_id"], ["people.id"], name=op.f("fk_clients_coach_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_clients")),
        sqlite_strict=True,
    )
    op.create_index("ix_clients_coach_id", "clients", ["coach_id"], unique=False)

    op.create_table(
        "people",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("email", sa.Text(), nullable=True),
        sa.Column("role", sa.Text(), nullable=False),
        sa.Column("password_hash", sa.Text(), nullable=True),
        sa.Column("client_id", sa.Integer(), nullable=True),
        sa.Column("is_active", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.Text(), nullable=False),
        sa.CheckConstraint(
            "(role = 'client') = (client_id IS NOT NULL)", name=op.f("ck_people_client_role_has_client")
        ),
        sa.CheckConstraint(
            "role IN ('head_coach', 'coach', 'stand_in', 'client')", name=op.f("ck_people_role_is_known")
        ),
        sa.CheckConstraint("is_active IN (0, 1)", name=op.f("ck_people_is_active_is_flag")),
        sa.CheckConstraint("length(name) BETWEEN 1 AND 200", name=op.f("ck_people_name_is_filled")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_people_client_id_clients"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_people")),
        sa.UniqueConstraint("client_id", name=op.f("uq_people_client_id")),
        sqlite_strict=True,
    )
    op.create_table(
        "practice",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("emergency_number", sa.Text(), nullable=True),
        sa.Column("public_url", sa.Text(), nullable=True),
        sa.Column("setup_code_sha256", sa.Text(), nullable=True),
        sa.Column("created_at", sa.Text(), nullable=False),
        sa.CheckConstraint("kind IN ('real', 'demo', 'simulated')", name=op.f("ck_practice_kind_is_known")),
        sa.CheckConstraint("id = 1", name=op.f("ck_practice_only_one")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_practice")),
        sqlite_strict=True,
    )
    op.create_table(
        "sign_in_failures",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("subject", sa.Text(), nullable=False),
        sa.Column("failed_at", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sign_in_failures")),
        sqlite_strict=True,
    )
    op.create_index("ix_sign_in_failures_subject", "sign_in_failures", ["subject"], unique=False)

    op.create_table(
        "audit_trail",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("client_id", sa.Integer(), nullable=True),
        sa.Column("action", sa.Text(), nullable=False),
        sa.Column("subject", sa.Text(), nullable=False),
        sa.Column("subject_id", sa.Integer(), nullable=True),
        sa.Column("change_json", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=True),
        sa.CheckConstraint(
            "substr(change_json, 1, 1) IN ('{', '[')", name=op.f("ck_audit_trail_change_json_is_json")
        ),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_audit_trail_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_audit_trail_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_audit_trail")),
        sqlite_strict=True,
    )
    op.create_index("ix_audit_trail_client", "audit_trail", ["client_id", "id"], unique=False)
    op.create_index("ix_audit_trail_person_id", "audit_trail", ["person_id"], unique=False)

    op.create_table(
        "available_days",
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("weekday", sa.Integer(), nullable=False),
        sa.Column("minutes", sa.Integer(), nullable=False),
        sa.Column("place", sa.Text(), nullable=True),
        sa.Column("kit", sa.Text(), nullable=True),
        sa.CheckConstraint("minutes BETWEEN 5 AND 720", name=op.f("ck_available_days_minutes_is_plausible")),
        sa.CheckConstraint("weekday BETWEEN 0 AND 6", name=op.f("ck_available_days_weekday_is_plausible")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_available_days_client_id_clients"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("client_id", "weekday", name=op.f("pk_available_days")),
        sqlite_strict=True,
    )
    op.create_table(
        "blocks",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("phase", sa.Text(), nullable=False),
        sa.Column("aim", sa.Text(), nullable=False),
        sa.Column("starts_on", sa.Text(), nullable=False),
        sa.Column("weeks", sa.Integer(), nullable=False),
        sa.Column("is_introductory", sa.Integer(), nullable=False),
        sa.Column("wishes_json", sa.Text(), nullable=False),
        sa.Column("created_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "phase IN ('aerobic_base', 'interval_one', 'interval_two', 'keeping', 'returning')",
            name=op.f("ck_blocks_phase_is_known"),
        ),
        sa.CheckConstraint("strftime('%w', starts_on) = '1'", name=op.f("ck_blocks_starts_on_a_monday")),
        sa.CheckConstraint("weeks BETWEEN 1 AND 26", name=op.f("ck_blocks_weeks_is_plausible")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_blocks_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_blocks_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_blocks")),
        sqlite_strict=True,
    )
    op.create_index("ix_blocks_client_id", "blocks", ["client_id"], unique=False)
    op.create_index("ix_blocks_person_id", "blocks", ["person_id"], unique=False)

    op.create_table(
        "blood_pressures",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("measured_on", sa.Text(), nullable=False),
        sa.Column("systolic_mmhg", sa.Integer(), nullable=False),
        sa.Column("diastolic_mmhg", sa.Integer(), nullable=False),
        sa.Column("resting_heart_rate_bpm", sa.Integer(), nullable=True),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.Column("entered_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "origin IN ('client', 'told_by_phone', 'from_paper', 'file', 'coach', 'clinic', 'computed')",
            name=op.f("ck_blood_pressures_origin_is_known"),
        ),
        sa.CheckConstraint("diastolic_mmhg < systolic_mmhg", name=op.f("ck_blood_pressures_pressures_in_order")),
        sa.CheckConstraint(
            "diastolic_mmhg BETWEEN 30 AND 200", name=op.f("ck_blood_pressures_diastolic_mmhg_is_plausible")
        ),
        sa.CheckConstraint(
            "measured_on IS date(julianday(measured_on))", name=op.f("ck_blood_pressures_measured_on_is_a_date")
        ),
        sa.CheckConstraint(
            "resting_heart_rate_bpm BETWEEN 25 AND 240",
            name=op.f("ck_blood_pressures_resting_heart_rate_bpm_is_plausible"),
        ),
        sa.CheckConstraint(
            "systolic_mmhg BETWEEN 60 AND 300", name=op.f("ck_blood_pressures_systolic_mmhg_is_plausible")
        ),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_blood_pressures_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_blood_pressures_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_blood_pressures")),
        sqlite_strict=True,
    )
    op.create_index("ix_blood_pressures_client_id", "blood_pressures", ["client_id"], unique=False)
    op.create_index("ix_blood_pressures_person_id", "blood_pressures", ["person_id"], unique=False)

    op.create_table(
        "clearances",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("scope", sa.Text(), nullable=True),
        sa.Column("requested_on", sa.Text(), nullable=True),
        sa.Column("given_on", sa.Text(), nullable=True),
        sa.Column("ends_on", sa.Text(), nullable=True),
        sa.Column("signer", sa.Text(), nullable=True),
        sa.Column("profession", sa.Text(), nullable=True),
        sa.Column("how_seen", sa.Text(), nullable=True),
        sa.Column("limits", sa.Text(), nullable=True),
        sa.Column("recorded_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("scope IN ('light_moderate', 'vigorous')", name=op.f("ck_clearances_scope_is_known")),
        sa.CheckConstraint(
            "state != 'granted' OR (scope IS NOT NULL AND given_on IS NOT NULL AND signer IS NOT NULL AND profession IS NOT NULL AND how_seen IS NOT NULL)",
            name=op.f("ck_clearances_granted_is_complete"),
        ),
        sa.CheckConstraint("state IN ('requested', 'granted', 'refused')", name=op.f("ck_clearances_state_is_known")),
        sa.CheckConstraint("given_on IS date(julianday(given_on))", name=op.f("ck_clearances_given_on_is_a_date")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_clearances_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_clearances_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_clearances")),
        sqlite_strict=True,
    )
    op.create_index("ix_clearances_client_id", "clearances", ["client_id"], unique=False)
    op.create_index("ix_clearances_person_id", "clearances", ["person_id"], unique=False)

    op.create_table(
        "consents",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("text_version", sa.Text(), nullable=False),
        sa.Column("text_sha256", sa.Text(), nullable=False),
        sa.Column("text_as_shown", sa.Text(), nullable=False),
        sa.Column("given_on", sa.Text(), nullable=False),
        sa.Column("method", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("withdrawn_on", sa.Text(), nullable=True),
        sa.CheckConstraint(
            "kind IN ('coaching', 'health_data', 'interval_phase', 'stop_signs')",
            name=op.f("ck_consents_kind_is_known"),
        ),
        sa.CheckConstraint(
            "method IN ('client', 'told_by_phone', 'from_paper', 'file', 'coach', 'clinic', 'computed')",
            name=op.f("ck_consents_method_is_known"),
        ),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_consents_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_consents_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_consents")),
        sqlite_strict=True,
    )
    op.create_index("ix_consents_client_id", "consents", ["client_id"], unique=False)
    op.create_index("ix_consents_person_id", "consents", ["person_id"], unique=False)

    op.create_table(
        "contacts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("contact_on", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("kind IN ('call', 'visit', 'message')", name=op.f("ck_contacts_kind_is_known")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_contacts_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_contacts_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_contacts")),
        sqlite_strict=True,
    )
    op.create_index("ix_contacts_client_day", "contacts", ["client_id", "contact_on"], unique=False)
    op.create_index("ix_contacts_person_id", "contacts", ["person_id"], unique=False)

    op.create_table(
        "fitness_tests",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("tested_on", sa.Text(), nullable=False),
        sa.Column("protocol", sa.Text(), nullable=False),
        sa.Column("mode", sa.Text(), nullable=False),
        sa.Column("distance_m", sa.REAL(), nullable=True),
        sa.Column("duration_s", sa.REAL(), nullable=True),
        sa.Column("heart_rate_bpm", sa.Integer(), nullable=True),
        sa.Column("talk", sa.Text(), nullable=True),
        sa.Column("value", sa.REAL(), nullable=True),
        sa.Column("unit", sa.Text(), nullable=True),
        sa.Column("error", sa.REAL(), nullable=True),
        sa.Column("conditions", sa.Text(), nullable=True),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.Column("entered_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "mode IN ('walk', 'run', 'ride', 'indoor_ride', 'row', 'swim', 'treadmill', 'cross_train', 'strength', 'other')",
            name=op.f("ck_fitness_tests_mode_is_known"),
        ),
        sa.CheckConstraint(
            "origin IN ('client', 'told_by_phone', 'from_paper', 'file', 'coach', 'clinic', 'computed')",
            name=op.f("ck_fitness_tests_origin_is_known"),
        ),
        sa.CheckConstraint(
            "protocol IN ('standard_loop', 'one_mile_walk', 'six_minute_walk', 'five_km', 'twelve_minute_run', 'laboratory', 'other')",
            name=op.f("ck_fitness_tests_protocol_is_known"),
        ),
        sa.CheckConstraint(
            "talk IN ('sing', 'chat', 'sentences', 'few_words')", name=op.f("ck_fitness_tests_talk_is_known")
        ),
        sa.CheckConstraint("distance_m BETWEEN 1 AND 500000", name=op.f("ck_fitness_tests_distance_m_is_plausible")),
        sa.CheckConstraint("duration_s BETWEEN 1 AND 86400", name=op.f("ck_fitness_tests_duration_s_is_plausible")),
        sa.CheckConstraint(
            "heart_rate_bpm BETWEEN 25 AND 240", name=op.f("ck_fitness_tests_heart_rate_bpm_is_plausible")
        ),
        sa.CheckConstraint(
            "tested_on IS date(julianday(tested_on))", name=op.f("ck_fitness_tests_tested_on_is_a_date")
        ),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_fitness_tests_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_fitness_tests_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fitness_tests")),
        sqlite_strict=True,
    )
    op.create_index("ix_fitness_tests_client_day", "fitness_tests", ["client_id", "tested_on"], unique=False)
    op.create_index("ix_fitness_tests_person_id", "fitness_tests", ["person_id"], unique=False)

    op.create_table(
        "goals",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("why", sa.Text(), nullable=True),
        sa.Column("confidence", sa.Integer(), nullable=True),
        sa.Column("due_on", sa.Text(), nullable=True),
        sa.Column("agreed_on", sa.Text(), nullable=False),
        sa.Column("closed_on", sa.Text(), nullable=True),
        sa.CheckConstraint("confidence BETWEEN 0 AND 10", name=op.f("ck_goals_confidence_is_plausible")),
        sa.CheckConstraint("length(text) BETWEEN 1 AND 2000", name=op.f("ck_goals_text_is_filled")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_goals_client_id_clients"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_goals")),
        sqlite_strict=True,
    )
    op.create_index("ix_goals_client_id", "goals", ["client_id"], unique=False)

    op.create_table(
        "handled_signals",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("signal", sa.Text(), nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("word", sa.Text(), nullable=False),
        sa.Column("until_on", sa.Text(), nullable=True),
        sa.Column("at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("undone_at", sa.Text(), nullable=True),
        sa.CheckConstraint(
            "(word = 'put_off') = (until_on IS NOT NULL)", name=op.f("ck_handled_signals_put_off_has_a_day")
        ),
        sa.CheckConstraint("word IN ('handled', 'put_off')", name=op.f("ck_handled_signals_word_is_known")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_handled_signals_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_handled_signals_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_handled_signals")),
        sqlite_strict=True,
    )
    op.create_index("ix_handled_signals_client_id", "handled_signals", ["client_id"], unique=False)
    op.create_index("ix_handled_signals_person_id", "handled_signals", ["person_id"], unique=False)

    op.create_table(
        "handovers",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("from_on", sa.Text(), nullable=False),
        sa.Column("until_on", sa.Text(), nullable=False),
        sa.Column("with_private_notes", sa.Integer(), nullable=False),
        sa.CheckConstraint("from_on <= until_on", name=op.f("ck_handovers_days_in_order")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_handovers_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_handovers_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_handovers")),
        sqlite_strict=True,
    )
    op.create_index("ix_handovers_client_id", "handovers", ["client_id"], unique=False)
    op.create_index("ix_handovers_person_id", "handovers", ["person_id"], unique=False)

    op.create_table(
        "import_mappings",
        sa.Column("header_sha256", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("mapping_json", sa.Text(), nullable=False),
        sa.Column("confirmed_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "substr(mapping_json, 1, 1) IN ('{', '[')", name=op.f("ck_import_mappings_mapping_json_is_json")
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_import_mappings_person_id_people")),
        sa.PrimaryKeyConstraint("header_sha256", name=op.f("pk_import_mappings")),
        sqlite_strict=True,
    )
    op.create_index("ix_import_mappings_person_id", "import_mappings", ["person_id"], unique=False)

    op.create_table(
        "imports",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("file_name", sa.Text(), nullable=False),
        sa.Column("file_sha256", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("added", sa.Integer(), nullable=False),
        sa.Column("changed", sa.Integer(), nullable=False),
        sa.Column("refused", sa.Integer(), nullable=False),
        sa.CheckConstraint("added BETWEEN 0 AND 10000000", name=op.f("ck_imports_added_is_plausible")),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_imports_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_imports")),
        sqlite_strict=True,
    )
    op.create_index("ix_imports_person_id", "imports", ["person_id"], unique=False)

    op.create_table(
        "invites",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("token_sha256", sa.Text(), nullable=False),
        sa.Column("created_by", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.Text(), nullable=False),
        sa.Column("ends_at", sa.Text(), nullable=False),
        sa.Column("used_at", sa.Text(), nullable=True),
        sa.Column("revoked_at", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(["created_by"], ["people.id"], name=op.f("fk_invites_created_by_people")),
        sa.ForeignKeyConstraint(
            ["person_id"], ["people.id"], name=op.f("fk_invites_person_id_people"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_invites")),
        sa.UniqueConstraint("token_sha256", name=op.f("uq_invites_token_sha256")),
        sqlite_strict=True,
    )
    op.create_index("ix_invites_created_by", "invites", ["created_by"], unique=False)
    op.create_index("ix_invites_person_id", "invites", ["person_id"], unique=False)

    op.create_table(
        "leaves",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("from_on", sa.Text(), nullable=False),
        sa.Column("until_on", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.CheckConstraint("from_on <= until_on", name=op.f("ck_leaves_days_in_order")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_leaves_client_id_clients"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_leaves")),
        sqlite_strict=True,
    )
    op.create_index("ix_leaves_client_id", "leaves", ["client_id"], unique=False)

    op.create_table(
        "logins",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("token_sha256", sa.Text(), nullable=False),
        sa.Column("device", sa.Text(), nullable=False),
        sa.Column("created_at", sa.Text(), nullable=False),
        sa.Column("last_seen_at", sa.Text(), nullable=False),
        sa.Column("ends_at", sa.Text(), nullable=False),
        sa.Column("ended_at", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(
            ["person_id"], ["people.id"], name=op.f("fk_logins_person_id_people"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_logins")),
        sa.UniqueConstraint("token_sha256", name=op.f("uq_logins_token_sha256")),
        sqlite_strict=True,
    )
    op.create_index("ix_logins_person_id", "logins", ["person_id"], unique=False)

    op.create_table(
        "month_remarks",
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("month", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("written_at", sa.Text(), nullable=False),
        sa.CheckConstraint(
            "month GLOB '[0-9][0-9][0-9][0-9]-[0-1][0-9]'", name=op.f("ck_month_remarks_month_is_a_month")
        ),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_month_remarks_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_month_remarks_person_id_people")),
        sa.PrimaryKeyConstraint("client_id", "month", name=op.f("pk_month_remarks")),
        sqlite_strict=True,
    )
    op.create_index("ix_month_remarks_person_id", "month_remarks", ["person_id"], unique=False)

    op.create_table(
        "notes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("written_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("visibility", sa.Text(), nullable=False),
        sa.Column("read_at", sa.Text(), nullable=True),
        sa.CheckConstraint(
            "visibility IN ('private', 'client', 'clinic')", name=op.f("ck_notes_visibility_is_known")
        ),
        sa.CheckConstraint("length(text) BETWEEN 1 AND 4000", name=op.f("ck_notes_text_is_filled")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_notes_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_notes_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_notes")),
        sqlite_strict=True,
    )
    op.create_index("ix_notes_client_id", "notes", ["client_id"], unique=False)
    op.create_index("ix_notes_person_id", "notes", ["person_id"], unique=False)

    op.create_table(
        "phase_decisions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("phase", sa.Text(), nullable=False),
        sa.Column("since_on", sa.Text(), nullable=False),
        sa.Column("decided_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("evidence_json", sa.Text(), nullable=False),
        sa.Column("attested_by", sa.Text(), nullable=True),
        sa.Column("confirmed_at", sa.Text(), nullable=True),
        sa.CheckConstraint(
            "kind IN ('start', 'promote', 'stay', 'step_back', 'brought_in', 'undo')",
            name=op.f("ck_phase_decisions_kind_is_known"),
        ),
        sa.CheckConstraint(
            "phase IN ('aerobic_base', 'interval_one', 'interval_two', 'keeping', 'returning')",
            name=op.f("ck_phase_decisions_phase_is_known"),
        ),
        sa.CheckConstraint(
            "substr(evidence_json, 1, 1) IN ('{', '[')", name=op.f("ck_phase_decisions_evidence_json_is_json")
        ),
        sa.CheckConstraint("length(reason) BETWEEN 1 AND 2000", name=op.f("ck_phase_decisions_reason_is_filled")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_phase_decisions_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_phase_decisions_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_phase_decisions")),
        sqlite_strict=True,
    )
    op.create_index("ix_phase_decisions_client_id", "phase_decisions", ["client_id"], unique=False)
    op.create_index("ix_phase_decisions_person_id", "phase_decisions", ["person_id"], unique=False)

    op.create_table(
        "planned_sessions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_planned_sessions_client_id_clients"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_planned_sessions")),
        sqlite_strict=True,
    )
    op.create_index("ix_planned_sessions_client_id", "planned_sessions", ["client_id"], unique=False)

    op.create_table(
        "practice_settings",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("value", sa.REAL(), nullable=False),
        sa.Column("changed_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_practice_settings_person_id_people")),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_practice_settings")),
        sqlite_strict=True,
    )
    op.create_index("ix_practice_settings_person_id", "practice_settings", ["person_id"], unique=False)

    op.create_table(
        "readiness_notes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("noted_on", sa.Text(), nullable=False),
        sa.Column("sleep", sa.Integer(), nullable=True),
        sa.Column("fatigue", sa.Integer(), nullable=True),
        sa.Column("stress", sa.Integer(), nullable=True),
        sa.Column("soreness", sa.Integer(), nullable=True),
        sa.Column("mood", sa.Integer(), nullable=True),
        sa.Column("slept_h", sa.REAL(), nullable=True),
        sa.Column("resting_heart_rate_bpm", sa.Integer(), nullable=True),
        sa.Column("ln_rmssd", sa.REAL(), nullable=True),
        sa.Column("illness", sa.Text(), nullable=False),
        sa.Column("medicine_changed", sa.Integer(), nullable=False),
        sa.Column("not_right_today", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=True),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.Column("entered_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("import_key", sa.Text(), nullable=True),
        sa.CheckConstraint(
            "illness IN ('none', 'above_neck', 'fever_or_below')", name=op.f("ck_readiness_notes_illness_is_known")
        ),
        sa.CheckConstraint(
            "origin IN ('client', 'told_by_phone', 'from_paper', 'file', 'coach', 'clinic', 'computed')",
            name=op.f("ck_readiness_notes_origin_is_known"),
        ),
        sa.CheckConstraint("fatigue BETWEEN 1 AND 7", name=op.f("ck_readiness_notes_fatigue_is_plausible")),
        sa.CheckConstraint("ln_rmssd BETWEEN 0 AND 7", name=op.f("ck_readiness_notes_ln_rmssd_is_plausible")),
        sa.CheckConstraint("mood BETWEEN 1 AND 5", name=op.f("ck_readiness_notes_mood_is_plausible")),
        sa.CheckConstraint(
            "noted_on IS date(julianday(noted_on))", name=op.f("ck_readiness_notes_noted_on_is_a_date")
        ),
        sa.CheckConstraint(
            "resting_heart_rate_bpm BETWEEN 25 AND 240",
            name=op.f("ck_readiness_notes_resting_heart_rate_bpm_is_plausible"),
        ),
        sa.CheckConstraint("sleep BETWEEN 1 AND 7", name=op.f("ck_readiness_notes_sleep_is_plausible")),
        sa.CheckConstraint("slept_h BETWEEN 0 AND 24", name=op.f("ck_readiness_notes_slept_h_is_plausible")),
        sa.CheckConstraint("soreness BETWEEN 1 AND 7", name=op.f("ck_readiness_notes_soreness_is_plausible")),
        sa.CheckConstraint("stress BETWEEN 1 AND 7", name=op.f("ck_readiness_notes_stress_is_plausible")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_readiness_notes_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_readiness_notes_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_readiness_notes")),
        sa.UniqueConstraint("import_key", name=op.f("uq_readiness_notes_import_key")),
        sqlite_strict=True,
    )
    op.create_index("ix_readiness_notes_client_day", "readiness_notes", ["client_id", "noted_on"], unique=False)
    op.create_index("ix_readiness_notes_person_id", "readiness_notes", ["person_id"], unique=False)

    op.create_table(
        "requests",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("route", sa.Text(), nullable=False),
        sa.Column("request_id", sa.Text(), nullable=False),
        sa.Column("body_sha256", sa.Text(), nullable=False),
        sa.Column("location", sa.Text(), nullable=False),
        sa.Column("at", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["person_id"], ["people.id"], name=op.f("fk_requests_person_id_people"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_requests")),
        sa.UniqueConstraint("person_id", "route", "request_id", name=op.f("uq_requests_person_id_route_request_id")),
        sqlite_strict=True,
    )
    op.create_index("ix_requests_at", "requests", ["at"], unique=False)

    op.create_table(
        "screening_answers",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("answered_on", sa.Text(), nullable=False),
        sa.Column("active", sa.Text(), nullable=False),
        sa.Column("disease", sa.Text(), nullable=False),
        sa.Column("symptoms", sa.Text(), nullable=False),
        sa.Column("pregnant", sa.Text(), nullable=False),
        sa.Column("heart_rate_medicine", sa.Text(), nullable=False),
        sa.Column("details_json", sa.Text(), nullable=False),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.Column("entered_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("active IN ('yes', 'no', 'unknown')", name=op.f("ck_screening_answers_active_is_known")),
        sa.CheckConstraint("disease IN ('yes', 'no', 'unknown')", name=op.f("ck_screening_answers_disease_is_known")),
        sa.CheckConstraint(
            "heart_rate_medicine IN ('yes', 'no', 'unknown')",
            name=op.f("ck_screening_answers_heart_rate_medicine_is_known"),
        ),
        sa.CheckConstraint(
            "origin IN ('client', 'told_by_phone', 'from_paper', 'file', 'coach', 'clinic', 'computed')",
            name=op.f("ck_screening_answers_origin_is_known"),
        ),
        sa.CheckConstraint(
            "pregnant IN ('yes', 'no', 'unknown')", name=op.f("ck_screening_answers_pregnant_is_known")
        ),
        sa.CheckConstraint(
            "substr(details_json, 1, 1) IN ('{', '[')", name=op.f("ck_screening_answers_details_json_is_json")
        ),
        sa.CheckConstraint(
            "symptoms IN ('yes', 'no', 'unknown')", name=op.f("ck_screening_answers_symptoms_is_known")
        ),
        sa.CheckConstraint(
            "answered_on IS date(julianday(answered_on))", name=op.f("ck_screening_answers_answered_on_is_a_date")
        ),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_screening_answers_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_screening_answers_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_screening_answers")),
        sqlite_strict=True,
    )
    op.create_index("ix_screening_answers_client_id", "screening_answers", ["client_id"], unique=False)
    op.create_index("ix_screening_answers_person_id", "screening_answers", ["person_id"], unique=False)

    op.create_table(
        "holds",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("stops", sa.Text(), nullable=False),
        sa.Column("mode", sa.Text(), nullable=True),
        sa.Column("cause", sa.Text(), nullable=False),
        sa.Column("began_on", sa.Text(), nullable=False),
        sa.Column("raised_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("lifted_at", sa.Text(), nullable=True),
        sa.Column("lifted_by", sa.Integer(), nullable=True),
        sa.Column("lifted_because", sa.Text(), nullable=True),
        sa.Column("clearance_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("(stops = 'mode_and_hard') = (mode IS NOT NULL)", name=op.f("ck_holds_mode_when_stopped")),
        sa.CheckConstraint(
            "kind != 'symptom' OR lifted_at IS NULL OR clearance_id IS NOT NULL",
            name=op.f("ck_holds_symptom_needs_clearance"),
        ),
        sa.CheckConstraint(
            "kind IN ('symptom', 'clearance', 'illness', 'injury', 'stopped_early', 'medicine_change', 'pregnancy', 'heat', 'coach')",
            name=op.f("ck_holds_kind_is_known"),
        ),
        sa.CheckConstraint(
            "mode IN ('walk', 'run', 'ride', 'indoor_ride', 'row', 'swim', 'treadmill', 'cross_train', 'strength', 'other')",
            name=op.f("ck_holds_mode_is_known"),
        ),
        sa.CheckConstraint("stops IN ('all', 'hard', 'mode_and_hard')", name=op.f("ck_holds_stops_is_known")),
        sa.CheckConstraint(
            "(lifted_at IS NULL) = (lifted_by IS NULL) AND (lifted_at IS NULL) = (lifted_because IS NULL)",
            name=op.f("ck_holds_lifting_is_whole"),
        ),
        sa.CheckConstraint("began_on IS date(julianday(began_on))", name=op.f("ck_holds_began_on_is_a_date")),
        sa.CheckConstraint("length(cause) BETWEEN 1 AND 2000", name=op.f("ck_holds_cause_is_filled")),
        sa.ForeignKeyConstraint(["clearance_id"], ["clearances.id"], name=op.f("fk_holds_clearance_id_clearances")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_holds_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["lifted_by"], ["people.id"], name=op.f("fk_holds_lifted_by_people")),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_holds_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_holds")),
        sqlite_strict=True,
    )
    op.create_index("ix_holds_clearance_id", "holds", ["clearance_id"], unique=False)
    op.create_index("ix_holds_client_open", "holds", ["client_id", "lifted_at"], unique=False)
    op.create_index("ix_holds_lifted_by", "holds", ["lifted_by"], unique=False)
    op.create_index("ix_holds_person_id", "holds", ["person_id"], unique=False)

    op.create_table(
        "planned_versions",
        sa.Column("version_id", sa.Integer(), nullable=False),
        sa.Column("planned_session_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("planned_on", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("mode", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("purpose", sa.Text(), nullable=False),
        sa.Column("minutes", sa.Integer(), nullable=False),
        sa.Column("hard_minutes", sa.REAL(), nullable=False),
        sa.Column("is_hard", sa.Integer(), nullable=False),
        sa.Column("rounds", sa.Integer(), nullable=False),
        sa.Column("steps_json", sa.Text(), nullable=False),
        sa.Column("easy_version", sa.Text(), nullable=True),
        sa.Column("place", sa.Text(), nullable=True),
        sa.Column("is_cancelled", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=True),
        sa.Column("published_at", sa.Text(), nullable=True),
        sa.Column("seen_at", sa.Text(), nullable=True),
        sa.CheckConstraint(
            "kind IN ('easy', 'middle', 'intervals', 'test', 'race', 'strength')",
            name=op.f("ck_planned_versions_kind_is_known"),
        ),
        sa.CheckConstraint(
            "mode IN ('walk', 'run', 'ride', 'indoor_ride', 'row', 'swim', 'treadmill', 'cross_train', 'strength', 'other')",
            name=op.f("ck_planned_versions_mode_is_known"),
        ),
        sa.CheckConstraint(
            "substr(steps_json, 1, 1) IN ('{', '[')", name=op.f("ck_planned_versions_steps_json_is_json")
        ),
        sa.CheckConstraint("length(title) BETWEEN 1 AND 200", name=op.f("ck_planned_versions_title_is_filled")),
        sa.CheckConstraint("minutes BETWEEN 0 AND 720", name=op.f("ck_planned_versions_minutes_is_plausible")),
        sa.CheckConstraint(
            "planned_on IS date(julianday(planned_on))", name=op.f("ck_planned_versions_planned_on_is_a_date")
        ),
        sa.CheckConstraint("rounds BETWEEN 0 AND 60", name=op.f("ck_planned_versions_rounds_is_plausible")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_planned_versions_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_planned_versions_person_id_people")),
        sa.ForeignKeyConstraint(
            ["planned_session_id"],
            ["planned_sessions.id"],
            name=op.f("fk_planned_versions_planned_session_id_planned_sessions"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("version_id", name=op.f("pk_planned_versions")),
        sa.UniqueConstraint(
            "planned_session_id", "version", name=op.f("uq_planned_versions_planned_session_id_version")
        ),
        sqlite_strict=True,
    )
    op.create_index("ix_planned_versions_client_day", "planned_versions", ["client_id", "planned_on"], unique=False)
    op.create_index("ix_planned_versions_person_id", "planned_versions", ["person_id"], unique=False)

    op.create_table(
        "planned_weeks",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("starts_on", sa.Text(), nullable=False),
        sa.Column("block_id", sa.Integer(), nullable=True),
        sa.Column("is_easier", sa.Integer(), nullable=False),
        sa.Column("target_minutes", sa.Integer(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("strftime('%w', starts_on) = '1'", name=op.f("ck_planned_weeks_starts_on_a_monday")),
        sa.CheckConstraint(
            "target_minutes BETWEEN 0 AND 3000", name=op.f("ck_planned_weeks_target_minutes_is_plausible")
        ),
        sa.ForeignKeyConstraint(
            ["block_id"], ["blocks.id"], name=op.f("fk_planned_weeks_block_id_blocks"), ondelete="SET NULL"
        ),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_planned_weeks_client_id_clients"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_planned_weeks")),
        sa.UniqueConstraint("client_id", "starts_on", name=op.f("uq_planned_weeks_client_id_starts_on")),
        sqlite_strict=True,
    )
    op.create_index("ix_planned_weeks_block_id", "planned_weeks", ["block_id"], unique=False)

    op.create_table(
        "session_logs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("planned_session_id", sa.Integer(), nullable=True),
        sa.Column("done_on", sa.Text(), nullable=False),
        sa.Column("answer", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("mode", sa.Text(), nullable=False),
        sa.Column("minutes", sa.REAL(), nullable=True),
        sa.Column("effort", sa.REAL(), nullable=True),
        sa.Column("talk", sa.Text(), nullable=True),
        sa.Column("felt_all_out", sa.Integer(), nullable=False),
        sa.Column("posture", sa.Text(), nullable=True),
        sa.Column("why_not", sa.Text(), nullable=True),
        sa.Column("spoilt_by", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.Column("entered_at", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("from_memory", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("import_key", sa.Text(), nullable=True),
        sa.CheckConstraint(
            "(answer = 'not_done') = (minutes IS NULL)", name=op.f("ck_session_logs_minutes_when_done")
        ),
        sa.CheckConstraint(
            "answer IN ('as_planned', 'partly', 'easy_version', 'something_else', 'not_done')",
            name=op.f("ck_session_logs_answer_is_known"),
        ),
        sa.CheckConstraint(
            "kind IN ('easy', 'middle', 'intervals', 'test', 'race', 'strength')",
            name=op.f("ck_session_logs_kind_is_known"),
        ),
        sa.CheckConstraint(
            "mode IN ('walk', 'run', 'ride', 'indoor_ride', 'row', 'swim', 'treadmill', 'cross_train', 'strength', 'other')",
            name=op.f("ck_session_logs_mode_is_known"),
        ),
        sa.CheckConstraint(
            "origin IN ('client', 'told_by_phone', 'from_paper', 'file', 'coach', 'clinic', 'computed')",
            name=op.f("ck_session_logs_origin_is_known"),
        ),
        sa.CheckConstraint(
            "posture IN ('stood', 'hands_on_knees', 'bent_or_sat')", name=op.f("ck_session_logs_posture_is_known")
        ),
        sa.CheckConstraint(
            "spoilt_by IN ('heat', 'kit', 'traffic')", name=op.f("ck_session_logs_spoilt_by_is_known")
        ),
        sa.CheckConstraint(
            "talk IN ('sing', 'chat', 'sentences', 'few_words')", name=op.f("ck_session_logs_talk_is_known")
        ),
        sa.CheckConstraint(
            "why_not IN ('no_time', 'tired', 'ill', 'sore', 'weather', 'travel', 'caring', 'forgot', 'not_in_the_mood', 'other')",
            name=op.f("ck_session_logs_why_not_is_known"),
        ),
        sa.CheckConstraint("done_on IS date(julianday(done_on))", name=op.f("ck_session_logs_done_on_is_a_date")),
        sa.CheckConstraint("effort BETWEEN 0 AND 10", name=op.f("ck_session_logs_effort_is_plausible")),
        sa.CheckConstraint("minutes BETWEEN 0 AND 1440", name=op.f("ck_session_logs_minutes_is_plausible")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_session_logs_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_session_logs_person_id_people")),
        sa.ForeignKeyConstraint(
            ["planned_session_id"],
            ["planned_sessions.id"],
            name=op.f("fk_session_logs_planned_session_id_planned_sessions"),
            ondelete="SET NULL",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_session_logs")),
        sa.UniqueConstraint("import_key", name=op.f("uq_session_logs_import_key")),
        sqlite_strict=True,
    )
    op.create_index("ix_session_logs_client_day", "session_logs", ["client_id", "done_on"], unique=False)
    op.create_index("ix_session_logs_person_id", "session_logs", ["person_id"], unique=False)
    op.create_index("ix_session_logs_planned_session_id", "session_logs", ["planned_session_id"], unique=False)

    op.create_table(
        "session_log_rounds",
        sa.Column("session_log_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("duration_s", sa.Integer(), nullable=False),
        sa.Column("is_complete", sa.Integer(), nullable=False),
        sa.Column("power_w", sa.REAL(), nullable=True),
        sa.Column("speed_m_per_s", sa.REAL(), nullable=True),
        sa.Column("heart_rate_end_bpm", sa.Integer(), nullable=True),
        sa.Column("cadence_per_min", sa.REAL(), nullable=True),
        sa.Column("effort", sa.REAL(), nullable=True),
        sa.CheckConstraint(
            "cadence_per_min BETWEEN 0 AND 250", name=op.f("ck_session_log_rounds_cadence_per_min_is_plausible")
        ),
        sa.CheckConstraint(
            "duration_s BETWEEN 5 AND 7200", name=op.f("ck_session_log_rounds_duration_s_is_plausible")
        ),
        sa.CheckConstraint("effort BETWEEN 0 AND 10", name=op.f("ck_session_log_rounds_effort_is_plausible")),
        sa.CheckConstraint(
            "heart_rate_end_bpm BETWEEN 25 AND 240",
            name=op.f("ck_session_log_rounds_heart_rate_end_bpm_is_plausible"),
        ),
        sa.CheckConstraint("number BETWEEN 1 AND 60", name=op.f("ck_session_log_rounds_number_is_plausible")),
        sa.CheckConstraint("power_w BETWEEN 0 AND 2500", name=op.f("ck_session_log_rounds_power_w_is_plausible")),
        sa.CheckConstraint(
            "speed_m_per_s BETWEEN 0 AND 20", name=op.f("ck_session_log_rounds_speed_m_per_s_is_plausible")
        ),
        sa.ForeignKeyConstraint(
            ["session_log_id"],
            ["session_logs.id"],
            name=op.f("fk_session_log_rounds_session_log_id_session_logs"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("session_log_id", "number", name=op.f("pk_session_log_rounds")),
        sqlite_strict=True,
    )
    op.create_table(
        "symptom_reports",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("sign", sa.Text(), nullable=False),
        sa.Column("family", sa.Text(), nullable=False),
        sa.Column("felt_on", sa.Text(), nullable=False),
        sa.Column("entered_at", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=True),
        sa.Column("mode", sa.Text(), nullable=True),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("hold_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("family IN ('a', 'b', 'c')", name=op.f("ck_symptom_reports_family_is_known")),
        sa.CheckConstraint(
            "origin IN ('client', 'told_by_phone', 'from_paper', 'file', 'coach', 'clinic', 'computed')",
            name=op.f("ck_symptom_reports_origin_is_known"),
        ),
        sa.CheckConstraint("length(sign) BETWEEN 1 AND 100", name=op.f("ck_symptom_reports_sign_is_filled")),
        sa.ForeignKeyConstraint(
            ["client_id"], ["clients.id"], name=op.f("fk_symptom_reports_client_id_clients"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["hold_id"], ["holds.id"], name=op.f("fk_symptom_reports_hold_id_holds")),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_symptom_reports_person_id_people")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_symptom_reports")),
        sqlite_strict=True,
    )
    op.create_index("ix_symptom_reports_client_id", "symptom_reports", ["client_id"], unique=False)
    op.create_index("ix_symptom_reports_hold_id", "symptom_reports", ["hold_id"], unique=False)
    op.create_index("ix_symptom_reports_person_id", "symptom_reports", ["person_id"], unique=False)
    op.create_index("uq_people_email", "people", [sa.text("lower(email)")], unique=True)


def downgrade() -> None:
    raise RuntimeError("the first tables are where every practice begins")
