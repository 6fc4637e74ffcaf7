"""Alembic's entry: migrations run on the connection that `app.storage.schema` hands over."""

from __future__ import annotations

from typing import Literal

from alembic import context
from sqlalchemy import TypeDecorator

from app.storage.tables import Base


def plain_types(kind: str, column_type: object, _context: object) -> str | Literal[False]:
    """Our own column types stand in migrations as the storage class they are kept in."""
    if kind == "type" and isinstance(column_type, TypeDecorator):
        return f"sa.{type(column_type.impl_instance).__name__}()"
    return False


connection = context.config.attributes["connection"]
context.configure(
    connection=connection,
    target_metadata=Base.metadata,
    render_as_batch=True,
    render_item=plain_types,
    # One transaction for a whole upgrade, opened by the caller: old or new schema, never between.
    transactional_ddl=False,
)
context.run_migrations()
