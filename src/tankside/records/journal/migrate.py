"""Bring the schema of a journal up to date; Alembic is imported here alone."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Connection

SCRIPTS = Path(__file__).with_name("migrations")


def upgrade(connection: Connection, to: str = "head", scripts: Path = SCRIPTS) -> None:
    """Run the missing migrations within the transaction of a connection.

    Args:
        connection: the database, in a transaction that the caller ends.
        to: the revision to reach.
        scripts: the folder with the migrations.
    """
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("path_separator", "os")
    config.set_main_option("script_location", str(scripts).replace("%", "%%"))
    config.attributes["connection"] = connection
    command.upgrade(config, to)
