"""Keep what people ask about their own data, and the day it was answered."""

from __future__ import annotations

from alembic import op

revision = "0023"
down_revision = "0022"
branch_labels = None
depends_on = None

DATA_REQUESTS = """
CREATE TABLE data_requests (
    id INTEGER NOT NULL,
    client_id INTEGER NOT NULL,
    kind TEXT NOT NULL,
    asked_on TEXT NOT NULL,
    text TEXT,
    origin TEXT NOT NULL,
    recorded_at TEXT NOT NULL,
    person_id INTEGER NOT NULL,
    done_on TEXT,
    done_how TEXT,
    done_at TEXT,
    done_by INTEGER,
    CONSTRAINT pk_data_requests PRIMARY KEY (id),
    CONSTRAINT ck_data_requests_kind_is_known CHECK (kind IN ('access', 'correction', 'erasure')),
    CONSTRAINT ck_data_requests_origin_is_known CHECK (origin IN ('client', 'told_by_phone', 'from_paper', 'file',
        'coach', 'clinic', 'computed')),
    CONSTRAINT ck_data_requests_asked_on_is_a_date CHECK (asked_on IS date(julianday(asked_on))),
    CONSTRAINT ck_data_requests_text_is_filled CHECK (length(text) BETWEEN 1 AND 2000),
    CONSTRAINT ck_data_requests_done_how_is_filled CHECK (length(done_how) BETWEEN 1 AND 2000),
    CONSTRAINT ck_data_requests_answer_is_whole CHECK ((done_on IS NULL) = (done_how IS NULL)
        AND (done_on IS NULL) = (done_at IS NULL) AND (done_on IS NULL) = (done_by IS NULL)),
    CONSTRAINT fk_data_requests_client_id_clients FOREIGN KEY(client_id) REFERENCES clients (id) ON DELETE CASCADE,
    CONSTRAINT fk_data_requests_person_id_people FOREIGN KEY(person_id) REFERENCES people (id),
    CONSTRAINT fk_data_requests_done_by_people FOREIGN KEY(done_by) REFERENCES people (id)
) STRICT
"""


def upgrade() -> None:
    op.execute(DATA_REQUESTS)
    op.execute("CREATE INDEX ix_data_requests_client_id ON data_requests (client_id)")
    op.execute("CREATE INDEX ix_data_requests_person_id ON data_requests (person_id)")
    op.execute("CREATE INDEX ix_data_requests_done_by ON data_requests (done_by)")


def downgrade() -> None:
    op.drop_table("data_requests")
