"""Keep the practice's hills, what a client rides and weighs, and the hill chosen for a session."""

from __future__ import annotations

from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None

HILLS = """
CREATE TABLE hills (
    id INTEGER NOT NULL,
    name TEXT NOT NULL,
    length_m REAL NOT NULL,
    slope_fraction REAL NOT NULL,
    surface TEXT NOT NULL,
    has_room_to_turn INTEGER NOT NULL,
    is_exposed INTEGER NOT NULL,
    is_lit INTEGER NOT NULL,
    for_riding INTEGER NOT NULL,
    for_running INTEGER NOT NULL,
    for_walking INTEGER NOT NULL,
    note TEXT,
    created_at TEXT NOT NULL,
    person_id INTEGER NOT NULL,
    retired_at TEXT,
    revision INTEGER NOT NULL,
    CONSTRAINT pk_hills PRIMARY KEY (id),
    CONSTRAINT uq_hills_name UNIQUE (name),
    CONSTRAINT ck_hills_name_is_filled CHECK (length(name) BETWEEN 1 AND 80),
    CONSTRAINT ck_hills_length_m_is_plausible CHECK (length_m BETWEEN 50 AND 20000),
    CONSTRAINT ck_hills_slope_fraction_is_plausible CHECK (slope_fraction BETWEEN 0.005 AND 0.4),
    CONSTRAINT ck_hills_surface_is_known CHECK (surface IN ('smooth', 'ordinary', 'rough', 'gravel')),
    CONSTRAINT ck_hills_note_is_filled CHECK (length(note) BETWEEN 1 AND 1000),
    CONSTRAINT ck_hills_for_somebody CHECK (for_riding + for_running + for_walking > 0),
    CONSTRAINT fk_hills_person_id_people FOREIGN KEY(person_id) REFERENCES people (id)
) STRICT
"""
RIDERS = """
CREATE TABLE riders (
    client_id INTEGER NOT NULL,
    body_mass_kg REAL,
    body_mass_on TEXT,
    bike_mass_kg REAL,
    front_teeth INTEGER,
    rear_teeth INTEGER,
    wheel_circumference_m REAL,
    CONSTRAINT pk_riders PRIMARY KEY (client_id),
    CONSTRAINT ck_riders_body_mass_kg_is_plausible CHECK (body_mass_kg BETWEEN 25 AND 220),
    CONSTRAINT ck_riders_bike_mass_kg_is_plausible CHECK (bike_mass_kg BETWEEN 5 AND 30),
    CONSTRAINT ck_riders_front_teeth_is_plausible CHECK (front_teeth BETWEEN 18 AND 60),
    CONSTRAINT ck_riders_rear_teeth_is_plausible CHECK (rear_teeth BETWEEN 9 AND 60),
    CONSTRAINT ck_riders_wheel_circumference_m_is_plausible CHECK (wheel_circumference_m BETWEEN 1 AND 2.5),
    CONSTRAINT ck_riders_body_mass_on_is_a_date CHECK (body_mass_on IS date(julianday(body_mass_on))),
    CONSTRAINT ck_riders_gear_is_whole CHECK ((front_teeth IS NULL) = (rear_teeth IS NULL)),
    CONSTRAINT ck_riders_mass_has_a_day CHECK ((body_mass_kg IS NULL) = (body_mass_on IS NULL)),
    CONSTRAINT fk_riders_client_id_clients FOREIGN KEY(client_id) REFERENCES clients (id) ON DELETE CASCADE
) STRICT
"""


def upgrade() -> None:
    op.execute(HILLS)
    op.execute("CREATE INDEX ix_hills_person_id ON hills (person_id)")
    op.execute(RIDERS)
    op.execute(
        "ALTER TABLE planned_versions ADD COLUMN hill_id INTEGER "
        "CONSTRAINT fk_planned_versions_hill_id_hills REFERENCES hills (id)"
    )
    op.execute("CREATE INDEX ix_planned_versions_hill_id ON planned_versions (hill_id)")


def downgrade() -> None:
    op.execute("DROP INDEX ix_planned_versions_hill_id")
    op.execute("ALTER TABLE planned_versions DROP COLUMN hill_id")
    op.drop_table("riders")
    op.drop_table("hills")
