"""Keep recordings beside the log, who wants places kept, and more of what a round was."""

from __future__ import annotations

from alembic import op

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None

RECORDINGS = """
CREATE TABLE recordings (
    id INTEGER NOT NULL,
    client_id INTEGER NOT NULL,
    session_log_id INTEGER NOT NULL,
    origin TEXT NOT NULL,
    file_kind TEXT NOT NULL,
    file_sha256 TEXT NOT NULL,
    file_bytes INTEGER NOT NULL,
    started_at TEXT,
    duration_s INTEGER NOT NULL,
    has_places INTEGER NOT NULL,
    about_json TEXT NOT NULL,
    series BLOB NOT NULL,
    series_bytes INTEGER NOT NULL,
    series_format INTEGER NOT NULL,
    reading_version INTEGER NOT NULL,
    edges_json TEXT,
    edges_at TEXT,
    edges_by INTEGER,
    added_at TEXT NOT NULL,
    person_id INTEGER NOT NULL,
    removed_at TEXT,
    removed_by INTEGER,
    CONSTRAINT pk_recordings PRIMARY KEY (id),
    CONSTRAINT ck_recordings_origin_is_known CHECK (origin IN ('client', 'told_by_phone', 'from_paper', 'file', 'coach',
        'clinic', 'computed')),
    CONSTRAINT ck_recordings_file_kind_is_known CHECK (file_kind IN ('gpx', 'csv')),
    CONSTRAINT ck_recordings_file_sha256_is_filled CHECK (length(file_sha256) BETWEEN 1 AND 64),
    CONSTRAINT ck_recordings_duration_s_is_plausible CHECK (duration_s BETWEEN 1 AND 86400),
    CONSTRAINT ck_recordings_about_json_is_json CHECK (substr(about_json, 1, 1) IN ('{', '[')),
    CONSTRAINT ck_recordings_edges_json_is_json CHECK (substr(edges_json, 1, 1) IN ('{', '[')),
    CONSTRAINT ck_recordings_series_bytes_is_true CHECK (series_bytes = length(series)
        AND series_bytes BETWEEN 1 AND 4194304),
    CONSTRAINT ck_recordings_edges_are_whole CHECK ((edges_json IS NULL) = (edges_at IS NULL)
        AND (edges_at IS NULL) = (edges_by IS NULL)),
    CONSTRAINT ck_recordings_removing_is_whole CHECK ((removed_at IS NULL) = (removed_by IS NULL)),
    CONSTRAINT fk_recordings_client_id_clients FOREIGN KEY(client_id) REFERENCES clients (id) ON DELETE CASCADE,
    CONSTRAINT fk_recordings_session_log_id_session_logs FOREIGN KEY(session_log_id) REFERENCES session_logs (id)
        ON DELETE CASCADE,
    CONSTRAINT fk_recordings_edges_by_people FOREIGN KEY(edges_by) REFERENCES people (id),
    CONSTRAINT fk_recordings_person_id_people FOREIGN KEY(person_id) REFERENCES people (id),
    CONSTRAINT fk_recordings_removed_by_people FOREIGN KEY(removed_by) REFERENCES people (id)
) STRICT
"""

PLACE_CHOICES = """
CREATE TABLE place_choices (
    id INTEGER NOT NULL,
    client_id INTEGER NOT NULL,
    keeps_places INTEGER NOT NULL,
    origin TEXT NOT NULL,
    decided_at TEXT NOT NULL,
    person_id INTEGER NOT NULL,
    CONSTRAINT pk_place_choices PRIMARY KEY (id),
    CONSTRAINT ck_place_choices_origin_is_known CHECK (origin IN ('client', 'told_by_phone', 'from_paper', 'file',
        'coach', 'clinic', 'computed')),
    CONSTRAINT fk_place_choices_client_id_clients FOREIGN KEY(client_id) REFERENCES clients (id) ON DELETE CASCADE,
    CONSTRAINT fk_place_choices_person_id_people FOREIGN KEY(person_id) REFERENCES people (id)
) STRICT
"""

ROUNDS = (
    "ADD COLUMN heart_rate_mean_bpm INTEGER"
    " CONSTRAINT ck_session_log_rounds_heart_rate_mean_bpm_is_plausible"
    " CHECK (heart_rate_mean_bpm BETWEEN 25 AND 240)",
    "ADD COLUMN strokes INTEGER"
    " CONSTRAINT ck_session_log_rounds_strokes_is_plausible CHECK (strokes BETWEEN 1 AND 2000)",
    "ADD COLUMN posture TEXT"
    " CONSTRAINT ck_session_log_rounds_posture_is_known"
    " CHECK (posture IN ('stood', 'hands_on_knees', 'bent_or_sat'))",
)


def upgrade() -> None:
    op.execute(RECORDINGS)
    for column in ("client_id", "edges_by", "person_id", "removed_by", "session_log_id"):
        op.execute(f"CREATE INDEX ix_recordings_{column} ON recordings ({column})")
    op.execute("CREATE UNIQUE INDEX uq_recordings_one_a_log ON recordings (session_log_id) WHERE removed_at IS NULL")
    op.execute(PLACE_CHOICES)
    op.execute("CREATE INDEX ix_place_choices_client_id ON place_choices (client_id)")
    op.execute("CREATE INDEX ix_place_choices_person_id ON place_choices (person_id)")
    for one in ROUNDS:
        op.execute(f"ALTER TABLE session_log_rounds {one}")


def downgrade() -> None:
    for column in ("posture", "strokes", "heart_rate_mean_bpm"):
        op.execute(f"ALTER TABLE session_log_rounds DROP COLUMN {column}")
    op.drop_table("place_choices")
    op.drop_table("recordings")
