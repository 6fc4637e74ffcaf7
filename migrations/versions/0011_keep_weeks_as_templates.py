"""Keep weeks as templates for the whole practice."""

from __future__ import annotations

from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None

TEMPLATES = """
CREATE TABLE week_templates (
    id INTEGER NOT NULL,
    name TEXT NOT NULL,
    created_at TEXT NOT NULL,
    person_id INTEGER NOT NULL,
    CONSTRAINT pk_week_templates PRIMARY KEY (id),
    CONSTRAINT ck_week_templates_name_is_filled CHECK (length(name) BETWEEN 1 AND 80),
    CONSTRAINT uq_week_templates_name UNIQUE (name),
    CONSTRAINT fk_week_templates_person_id_people FOREIGN KEY(person_id) REFERENCES people (id)
) STRICT
"""
SESSIONS = """
CREATE TABLE week_template_sessions (
    id INTEGER NOT NULL,
    week_template_id INTEGER NOT NULL,
    weekday INTEGER NOT NULL,
    kind TEXT NOT NULL,
    mode TEXT NOT NULL,
    title TEXT NOT NULL,
    purpose TEXT NOT NULL,
    minutes INTEGER NOT NULL,
    hard_minutes REAL NOT NULL,
    is_hard INTEGER NOT NULL,
    rounds INTEGER NOT NULL,
    steps_json TEXT NOT NULL,
    easy_version TEXT,
    is_uphill INTEGER NOT NULL,
    CONSTRAINT pk_week_template_sessions PRIMARY KEY (id),
    CONSTRAINT ck_week_template_sessions_weekday_is_plausible CHECK (weekday BETWEEN 0 AND 6),
    CONSTRAINT ck_week_template_sessions_kind_is_known
        CHECK (kind IN ('easy', 'middle', 'intervals', 'test', 'race', 'strength')),
    CONSTRAINT ck_week_template_sessions_mode_is_known CHECK (mode IN ('walk', 'run', 'ride', 'indoor_ride', 'row',
        'swim', 'treadmill', 'cross_train', 'strength', 'other')),
    CONSTRAINT ck_week_template_sessions_title_is_filled CHECK (length(title) BETWEEN 1 AND 200),
    CONSTRAINT ck_week_template_sessions_minutes_is_plausible CHECK (minutes BETWEEN 0 AND 720),
    CONSTRAINT ck_week_template_sessions_rounds_is_plausible CHECK (rounds BETWEEN 0 AND 60),
    CONSTRAINT ck_week_template_sessions_steps_json_is_json CHECK (substr(steps_json, 1, 1) IN ('{', '[')),
    CONSTRAINT fk_week_template_sessions_week_template_id_week_templates
        FOREIGN KEY(week_template_id) REFERENCES week_templates (id) ON DELETE CASCADE
) STRICT
"""


def upgrade() -> None:
    op.execute(TEMPLATES)
    op.execute("CREATE INDEX ix_week_templates_person_id ON week_templates (person_id)")
    op.execute(SESSIONS)
    op.execute("CREATE INDEX ix_week_template_sessions_week_template_id ON week_template_sessions (week_template_id)")


def downgrade() -> None:
    op.drop_table("week_template_sessions")
    op.drop_table("week_templates")
