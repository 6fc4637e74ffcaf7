"""The schema's revision: where a file stands, where it should stand, and the way there."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection

from app.coaching.reasons import DomainError
from app.places import bundled
from app.storage.database import open_engine


class SchemaTooNew(DomainError):
    """The file was written by a later version of the desk."""


def _config(connection: Connection | None = None) -> Config:
    config = Config()
    config.set_main_option("script_location", str(bundled("migrations")))
    config.attributes["connection"] = connection
    return config


@cache
def _scripts() -> ScriptDirectory:
    # Read once: they cannot change while the desk runs, and every start asks three times.
    return ScriptDirectory.from_config(_config())


def newest_revision() -> str:
    """The revision this version of the desk works with."""
    head = _scripts().get_current_head()
    if head is None:
        raise DomainError("no migrations were found in this installation")
    return head


def revision_of(connection: Connection) -> str | None:
    """The revision a database stands at; None for an empty one."""
    return MigrationContext.configure(connection).get_current_revision()


def upgrade(data_dir: Path) -> None:
    """Bring the database to the newest revision, in one transaction: old or new schema, never between.

    Foreign keys are off meanwhile, since rebuilding a table would otherwise empty those that refer to it;
    they are checked before the commit.

    Raises: SchemaTooNew when the file is ahead of this version; DomainError when references were broken.
    """
    engine = open_engine(data_dir, foreign_keys=False)
    try:
        with engine.execution_options(foothill_write=True).begin() as connection:
            refuse_newer(connection)
            if revision_of(connection) != newest_revision():
                command.upgrade(_config(connection), "head")
            broken = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
            if broken:
                raise DomainError(f"the upgrade left {len(broken)} broken references and was undone")
    finally:
        engine.dispose()


def known_revisions() -> frozenset[str]:
    """Every revision this version of the desk can bring up to date."""
    return frozenset(script.revision for script in _scripts().walk_revisions())


def refuse_newer(connection: Connection) -> None:
    """Refuse a file that a later version of the desk has written.

    Raises: SchemaTooNew.
    """
    found = revision_of(connection)
    if found is not None and found not in known_revisions():
        raise SchemaTooNew(f"this folder was written by a newer version of the desk (schema {found})")
