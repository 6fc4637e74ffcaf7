"""Keep what clients tell of days away, when a hold was seen on the phone, and work that was heavy for the legs."""

from __future__ import annotations

from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None

TOLD_AWAY = """
CREATE TABLE told_away (
    id INTEGER NOT NULL,
    client_id INTEGER NOT NULL,
    kind TEXT NOT NULL,
    from_on TEXT NOT NULL,
    until_on TEXT NOT NULL,
    possible TEXT NOT NULL,
    why_off TEXT,
    text TEXT,
    origin TEXT NOT NULL,
    told_at TEXT NOT NULL,
    person_id INTEGER NOT NULL,
    answer TEXT NOT NULL,
    answered_at TEXT,
    answered_by INTEGER,
    answered_because TEXT,
    CONSTRAINT pk_told_away PRIMARY KEY (id),
    CONSTRAINT ck_told_away_kind_is_known CHECK (kind IN ('travel', 'off')),
    CONSTRAINT ck_told_away_possible_is_known CHECK (possible IN ('nothing', 'walking', 'less')),
    CONSTRAINT ck_told_away_why_off_is_known CHECK (why_off IN ('no_time', 'tired', 'ill', 'sore', 'weather', 'travel',
        'caring', 'forgot', 'not_in_the_mood', 'other')),
    CONSTRAINT ck_told_away_origin_is_known CHECK (origin IN ('client', 'told_by_phone', 'from_paper', 'file', 'coach',
        'clinic', 'computed')),
    CONSTRAINT ck_told_away_answer_is_known CHECK (answer IN ('open', 'accepted', 'declined', 'taken_back')),
    CONSTRAINT ck_told_away_from_on_is_a_date CHECK (from_on IS date(julianday(from_on))),
    CONSTRAINT ck_told_away_until_on_is_a_date CHECK (until_on IS date(julianday(until_on))),
    CONSTRAINT ck_told_away_text_is_filled CHECK (length(text) BETWEEN 1 AND 4000),
    CONSTRAINT ck_told_away_answered_because_is_filled CHECK (length(answered_because) BETWEEN 1 AND 2000),
    CONSTRAINT ck_told_away_days_in_order CHECK (from_on <= until_on),
    CONSTRAINT ck_told_away_answering_is_whole CHECK ((answer = 'open') = (answered_at IS NULL)
        AND (answered_at IS NULL) = (answered_by IS NULL)),
    CONSTRAINT fk_told_away_client_id_clients FOREIGN KEY(client_id) REFERENCES clients (id) ON DELETE CASCADE,
    CONSTRAINT fk_told_away_person_id_people FOREIGN KEY(person_id) REFERENCES people (id),
    CONSTRAINT fk_told_away_answered_by_people FOREIGN KEY(answered_by) REFERENCES people (id)
) STRICT
"""


def upgrade() -> None:
    op.execute(TOLD_AWAY)
    op.execute("CREATE INDEX ix_told_away_client_id ON told_away (client_id)")
    op.execute("CREATE INDEX ix_told_away_person_id ON told_away (person_id)")
    op.execute("CREATE INDEX ix_told_away_answered_by ON told_away (answered_by)")
    op.execute("ALTER TABLE holds ADD COLUMN seen_at TEXT")
    op.execute("ALTER TABLE session_logs ADD COLUMN heavy_legs INTEGER DEFAULT 0 NOT NULL")


def downgrade() -> None:
    op.execute("ALTER TABLE session_logs DROP COLUMN heavy_legs")
    op.execute("ALTER TABLE holds DROP COLUMN seen_at")
    op.drop_table("told_away")
