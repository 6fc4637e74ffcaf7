"""Keep what is told week by week, what a coach has read of it, a feed's secret address, and words of a handover."""

from __future__ import annotations

from alembic import op

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None

CHECK_INS = """
CREATE TABLE check_ins (
    id INTEGER NOT NULL,
    client_id INTEGER NOT NULL,
    week_on TEXT NOT NULL,
    felt TEXT NOT NULL,
    other_hard INTEGER NOT NULL,
    medicine_changed INTEGER NOT NULL,
    fell INTEGER NOT NULL,
    barrier TEXT,
    confidence INTEGER,
    text TEXT,
    origin TEXT NOT NULL,
    entered_at TEXT NOT NULL,
    person_id INTEGER NOT NULL,
    CONSTRAINT pk_check_ins PRIMARY KEY (id),
    CONSTRAINT uq_check_ins_client_id_week_on UNIQUE (client_id, week_on),
    CONSTRAINT ck_check_ins_week_on_is_a_monday CHECK (strftime('%w', week_on) = '1'),
    CONSTRAINT ck_check_ins_felt_is_known CHECK (felt IN ('easier', 'as_usual', 'harder', 'too_much')),
    CONSTRAINT ck_check_ins_barrier_is_known CHECK (barrier IN ('no_time', 'tired', 'ill', 'sore', 'weather', 'travel',
        'caring', 'forgot', 'not_in_the_mood', 'other')),
    CONSTRAINT ck_check_ins_origin_is_known CHECK (origin IN ('client', 'told_by_phone', 'from_paper', 'file', 'coach',
        'clinic', 'computed')),
    CONSTRAINT ck_check_ins_confidence_is_plausible CHECK (confidence BETWEEN 0 AND 10),
    CONSTRAINT ck_check_ins_text_is_filled CHECK (length(text) BETWEEN 1 AND 4000),
    CONSTRAINT fk_check_ins_client_id_clients FOREIGN KEY(client_id) REFERENCES clients (id) ON DELETE CASCADE,
    CONSTRAINT fk_check_ins_person_id_people FOREIGN KEY(person_id) REFERENCES people (id)
) STRICT
"""

ENTRIES_READ = """
CREATE TABLE entries_read (
    person_id INTEGER NOT NULL,
    until_at TEXT NOT NULL,
    read_at TEXT NOT NULL,
    CONSTRAINT pk_entries_read PRIMARY KEY (person_id),
    CONSTRAINT fk_entries_read_person_id_people FOREIGN KEY(person_id) REFERENCES people (id) ON DELETE CASCADE
) STRICT
"""

FEED_ADDRESSES = """
CREATE TABLE feed_addresses (
    id INTEGER NOT NULL,
    person_id INTEGER NOT NULL,
    token_sha256 TEXT NOT NULL,
    created_at TEXT NOT NULL,
    revoked_at TEXT,
    last_read_at TEXT,
    CONSTRAINT pk_feed_addresses PRIMARY KEY (id),
    CONSTRAINT uq_feed_addresses_token_sha256 UNIQUE (token_sha256),
    CONSTRAINT fk_feed_addresses_person_id_people FOREIGN KEY(person_id) REFERENCES people (id) ON DELETE CASCADE
) STRICT
"""


def upgrade() -> None:
    op.execute(CHECK_INS)
    op.execute("CREATE INDEX ix_check_ins_person_id ON check_ins (person_id)")
    op.execute(ENTRIES_READ)
    op.execute(FEED_ADDRESSES)
    op.execute("CREATE INDEX ix_feed_addresses_person_id ON feed_addresses (person_id)")
    op.execute("ALTER TABLE handovers ADD COLUMN words TEXT")


def downgrade() -> None:
    op.execute("ALTER TABLE handovers DROP COLUMN words")
    op.drop_table("feed_addresses")
    op.drop_table("entries_read")
    op.drop_table("check_ins")
