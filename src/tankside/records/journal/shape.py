"""The tables, columns and indexes a database has, asked for in two statements."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy import Connection, text

from tankside.records.journal.schema import METADATA

_COLUMNS = {
    "sqlite": (
        "SELECT m.name, c.name FROM sqlite_master m, pragma_table_info(m.name) c "
        "WHERE m.type IN ('table', 'view') AND m.name NOT LIKE 'sqlite\\_%' ESCAPE '\\'"
    ),
    "postgresql": (
        "SELECT c.relname, a.attname FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid "
        "JOIN pg_namespace n ON n.oid = c.relnamespace WHERE n.nspname = current_schema() "
        "AND c.relkind IN ('r', 'v', 'm', 'p', 'f') AND a.attnum > 0 AND NOT a.attisdropped"
    ),
}
_INDEXES = {
    "sqlite": "SELECT name FROM sqlite_master WHERE type = 'index'",
    "postgresql": "SELECT indexname FROM pg_indexes WHERE schemaname = current_schema()",
}


@dataclass(frozen=True, slots=True)
class DatabaseShape:
    """What is in a database: the columns of each table, and the names of the indexes."""

    columns: Mapping[str, frozenset[str]]
    indexes: frozenset[str]

    def differences(self, apart_from: str) -> list[str]:
        """Name what is not as in ``schema``; one table of another program's is passed over."""
        wanted = {name: frozenset(table.columns.keys()) for name, table in METADATA.tables.items()}
        there = {name: columns for name, columns in self.columns.items() if name != apart_from}
        names = sorted(wanted.keys() | there.keys())
        differing = [name for name in names if wanted.get(name) != there.get(name)]
        indexes = {str(i.name) for table in METADATA.tables.values() for i in table.indexes}
        return differing + sorted(indexes - self.indexes)


def shape_of(connection: Connection) -> DatabaseShape:
    """Return what is in a database."""
    dialect = connection.dialect.name
    columns: dict[str, set[str]] = {}
    for table, column in connection.execute(text(_COLUMNS[dialect])):
        columns.setdefault(str(table), set()).add(str(column))
    indexes = connection.execute(text(_INDEXES[dialect])).scalars()
    frozen = {table: frozenset(names) for table, names in columns.items()}
    return DatabaseShape(frozen, frozenset(map(str, indexes)))
