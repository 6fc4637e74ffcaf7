"""Keep what targets are made from, and the target of a session with its version."""

from __future__ import annotations

from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None

MEASURED = """
CREATE TABLE measured (
    id INTEGER NOT NULL,
    client_id INTEGER NOT NULL,
    kind TEXT NOT NULL,
    mode TEXT NOT NULL,
    measured_on TEXT NOT NULL,
    value REAL NOT NULL,
    value_error REAL,
    capacity REAL,
    capacity_error REAL,
    covariance REAL,
    how TEXT NOT NULL,
    fitted_form TEXT,
    trials_json TEXT NOT NULL,
    note TEXT,
    origin TEXT NOT NULL,
    entered_at TEXT NOT NULL,
    person_id INTEGER NOT NULL,
    set_aside_at TEXT,
    set_aside_by INTEGER,
    CONSTRAINT pk_measured PRIMARY KEY (id),
    CONSTRAINT ck_measured_kind_is_known CHECK (kind IN ('critical_power', 'critical_speed', 'highest_heart_rate',
        'talk_power')),
    CONSTRAINT ck_measured_mode_is_known CHECK (mode IN ('walk', 'run', 'ride', 'indoor_ride', 'row', 'swim',
        'treadmill', 'cross_train', 'strength', 'other')),
    CONSTRAINT ck_measured_how_is_known CHECK (how IN ('trials', 'laboratory', 'all_out', 'talk_test', 'elsewhere')),
    CONSTRAINT ck_measured_origin_is_known CHECK (origin IN ('client', 'told_by_phone', 'from_paper', 'file', 'coach',
        'clinic', 'computed')),
    CONSTRAINT ck_measured_measured_on_is_a_date CHECK (measured_on IS date(julianday(measured_on))),
    CONSTRAINT ck_measured_value_is_above_nothing CHECK (value > 0 AND value <= 2500),
    CONSTRAINT ck_measured_value_error_is_plausible CHECK (value_error BETWEEN 0 AND 2500),
    CONSTRAINT ck_measured_capacity_is_above_nothing CHECK (capacity > 0 AND capacity <= 100000),
    CONSTRAINT ck_measured_capacity_error_is_plausible CHECK (capacity_error BETWEEN 0 AND 100000),
    CONSTRAINT ck_measured_trials_json_is_json CHECK (substr(trials_json, 1, 1) IN ('{', '[')),
    CONSTRAINT ck_measured_note_is_filled CHECK (length(note) BETWEEN 1 AND 1000),
    CONSTRAINT ck_measured_capacity_belongs_to_a_curve CHECK ((capacity IS NULL) = (kind IN ('highest_heart_rate',
        'talk_power'))),
    CONSTRAINT ck_measured_setting_aside_is_whole CHECK ((set_aside_at IS NULL) = (set_aside_by IS NULL)),
    CONSTRAINT fk_measured_client_id_clients FOREIGN KEY(client_id) REFERENCES clients (id) ON DELETE CASCADE,
    CONSTRAINT fk_measured_person_id_people FOREIGN KEY(person_id) REFERENCES people (id),
    CONSTRAINT fk_measured_set_aside_by_people FOREIGN KEY(set_aside_by) REFERENCES people (id)
) STRICT
"""


def upgrade() -> None:
    op.execute(MEASURED)
    op.execute("CREATE INDEX ix_measured_client_id ON measured (client_id)")
    op.execute("CREATE INDEX ix_measured_person_id ON measured (person_id)")
    op.execute("CREATE INDEX ix_measured_set_aside_by ON measured (set_aside_by)")
    op.execute("ALTER TABLE planned_versions ADD COLUMN target_json TEXT")


def downgrade() -> None:
    op.execute("ALTER TABLE planned_versions DROP COLUMN target_json")
    op.drop_table("measured")
