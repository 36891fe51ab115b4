"""Migrations run in the transaction of the connection they are handed: whole or not at all."""

from __future__ import annotations

from alembic import context

from tankside.records.journal.schema import METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    render_as_batch=True,
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
