"""Keep the practice's own sessions of the library."""

from __future__ import annotations

from alembic import op

revision = "0017"
down_revision = "0016"
branch_labels = None
depends_on = None

OWN_PROTOCOLS = """
CREATE TABLE own_protocols (
    id INTEGER NOT NULL,
    name TEXT NOT NULL,
    purpose TEXT NOT NULL,
    suits TEXT NOT NULL,
    work_s INTEGER NOT NULL,
    recovery_s INTEGER NOT NULL,
    rounds INTEGER NOT NULL,
    rounds_least INTEGER NOT NULL,
    rounds_most INTEGER NOT NULL,
    set_of INTEGER NOT NULL,
    set_recovery_s INTEGER NOT NULL,
    modes_json TEXT NOT NULL,
    finish_rule TEXT NOT NULL,
    also_words TEXT,
    evidence TEXT,
    step_up TEXT,
    step_down TEXT,
    copied_from TEXT,
    created_at TEXT NOT NULL,
    person_id INTEGER NOT NULL,
    revision INTEGER NOT NULL,
    retired_at TEXT,
    CONSTRAINT pk_own_protocols PRIMARY KEY (id),
    CONSTRAINT ck_own_protocols_name_is_filled CHECK (length(name) BETWEEN 1 AND 80),
    CONSTRAINT ck_own_protocols_purpose_is_filled CHECK (length(purpose) BETWEEN 1 AND 400),
    CONSTRAINT ck_own_protocols_suits_is_filled CHECK (length(suits) BETWEEN 1 AND 400),
    CONSTRAINT ck_own_protocols_work_s_is_plausible CHECK (work_s BETWEEN 10 AND 1200),
    CONSTRAINT ck_own_protocols_recovery_s_is_plausible CHECK (recovery_s BETWEEN 5 AND 1200),
    CONSTRAINT ck_own_protocols_rounds_least_is_plausible CHECK (rounds_least BETWEEN 1 AND 40),
    CONSTRAINT ck_own_protocols_rounds_most_is_plausible CHECK (rounds_most BETWEEN 1 AND 40),
    CONSTRAINT ck_own_protocols_rounds_in_order CHECK (rounds BETWEEN rounds_least AND rounds_most),
    CONSTRAINT ck_own_protocols_work_is_bounded CHECK (rounds_most * work_s <= 2880),
    CONSTRAINT ck_own_protocols_sets_are_whole CHECK ((set_of = 0 AND set_recovery_s = 0) OR (set_of BETWEEN 2 AND 39 AND set_recovery_s BETWEEN 6 AND 1200)),
    CONSTRAINT ck_own_protocols_modes_json_is_json CHECK (substr(modes_json, 1, 1) IN ('{', '[')),
    CONSTRAINT ck_own_protocols_finish_rule_is_filled CHECK (length(finish_rule) BETWEEN 1 AND 600),
    CONSTRAINT ck_own_protocols_also_words_is_filled CHECK (length(also_words) BETWEEN 1 AND 400),
    CONSTRAINT ck_own_protocols_evidence_is_filled CHECK (length(evidence) BETWEEN 1 AND 600),
    CONSTRAINT uq_own_protocols_name UNIQUE (name),
    CONSTRAINT fk_own_protocols_person_id_people FOREIGN KEY(person_id) REFERENCES people (id)
) STRICT
"""


def upgrade() -> None:
    op.execute(OWN_PROTOCOLS)
    op.execute("CREATE INDEX ix_own_protocols_person_id ON own_protocols (person_id)")


def downgrade() -> None:
    op.drop_table("own_protocols")
