"""What makes the log append-only in the database itself, and how its absence is seen.

An entry is only ever added behind the last one, to the hash it has. A person's name can be taken
away, nothing else. Both databases hold every verb to this; who owns the database can still take
the guards away, so opening a journal compares them with what is written here.
"""

from __future__ import annotations

from sqlalchemy import Connection, text

from tankside.records.journal.photo_guards import (
    POSTGRESQL_PHOTO_TRIGGERS,
    SQLITE_PHOTO_GUARDS,
)

SQLITE_GUARDS = {
    "entry_no_update": (
        "CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry "
        "BEGIN SELECT RAISE(ABORT, 'append only'); END"
    ),
    "entry_no_delete": (
        "CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry "
        "BEGIN SELECT RAISE(ABORT, 'append only'); END"
    ),
    "entry_at_the_end": (
        "CREATE TRIGGER entry_at_the_end BEFORE INSERT ON entry "
        "WHEN NEW.sequence <> (SELECT coalesce(max(sequence), 0) + 1 FROM entry) "
        "OR (NEW.sequence > 1 AND NEW.previous <> "
        "(SELECT hash FROM entry WHERE sequence = NEW.sequence - 1)) "
        "BEGIN SELECT RAISE(ABORT, 'append only'); END"
    ),
    "journal_no_update": (
        "CREATE TRIGGER journal_no_update BEFORE UPDATE ON journal "
        "BEGIN SELECT RAISE(ABORT, 'append only'); END"
    ),
    "journal_no_delete": (
        "CREATE TRIGGER journal_no_delete BEFORE DELETE ON journal "
        "BEGIN SELECT RAISE(ABORT, 'append only'); END"
    ),
    "journal_once": (
        "CREATE TRIGGER journal_once BEFORE INSERT ON journal "
        "WHEN EXISTS (SELECT 1 FROM journal) BEGIN SELECT RAISE(ABORT, 'append only'); END"
    ),
    "person_only_removed": (
        "CREATE TRIGGER person_only_removed BEFORE UPDATE ON person "
        "WHEN NEW.name IS NOT NULL OR NEW.salt IS NOT NULL OR NEW.number <> OLD.number "
        "OR NEW.commitment <> OLD.commitment BEGIN SELECT RAISE(ABORT, 'append only'); END"
    ),
    "person_no_delete": (
        "CREATE TRIGGER person_no_delete BEFORE DELETE ON person "
        "BEGIN SELECT RAISE(ABORT, 'append only'); END"
    ),
    "person_at_the_end": (
        "CREATE TRIGGER person_at_the_end BEFORE INSERT ON person "
        "WHEN NEW.number <> (SELECT coalesce(max(number), 0) + 1 FROM person) "
        "BEGIN SELECT RAISE(ABORT, 'append only'); END"
    ),
}
"""Each trigger of a SQLite journal of the first schema as it stands there."""

_REFUSE = "RAISE EXCEPTION 'append only' USING ERRCODE = 'restrict_violation';"


POSTGRESQL_FUNCTIONS = {
    "append_only": "REFUSE",
    "entry_behind_the_last": (
        "IF NEW.sequence <> (SELECT coalesce(max(sequence), 0) + 1 FROM entry) "
        "OR (NEW.sequence > 1 AND NEW.previous <> "
        "(SELECT hash FROM entry WHERE sequence = NEW.sequence - 1)) "
        "THEN REFUSE END IF; RETURN NEW;"
    ),
    "person_behind_the_last": (
        "IF NEW.number <> (SELECT coalesce(max(number), 0) + 1 FROM person) "
        "THEN REFUSE END IF; RETURN NEW;"
    ),
    "person_taken_away": (
        "IF NEW.name IS NOT NULL OR NEW.salt IS NOT NULL OR NEW.number <> OLD.number "
        "OR NEW.commitment <> OLD.commitment THEN REFUSE END IF; RETURN NEW;"
    ),
    "journal_begun": "IF EXISTS (SELECT 1 FROM journal) THEN REFUSE END IF; RETURN NEW;",
}
"""The bodies of the functions that a PostgreSQL journal's triggers call."""

POSTGRESQL_TRIGGERS = {
    "entry_no_change": ("BEFORE UPDATE OR DELETE ON entry FOR EACH ROW", "append_only"),
    "entry_no_truncate": ("BEFORE TRUNCATE ON entry FOR EACH STATEMENT", "append_only"),
    "entry_at_the_end": ("BEFORE INSERT ON entry FOR EACH ROW", "entry_behind_the_last"),
    "journal_no_change": ("BEFORE UPDATE OR DELETE ON journal FOR EACH ROW", "append_only"),
    "journal_no_truncate": ("BEFORE TRUNCATE ON journal FOR EACH STATEMENT", "append_only"),
    "journal_once": ("BEFORE INSERT ON journal FOR EACH ROW", "journal_begun"),
    "person_only_removed": ("BEFORE UPDATE ON person FOR EACH ROW", "person_taken_away"),
    "person_no_delete": ("BEFORE DELETE ON person FOR EACH ROW", "append_only"),
    "person_no_truncate": ("BEFORE TRUNCATE ON person FOR EACH STATEMENT", "append_only"),
    "person_at_the_end": ("BEFORE INSERT ON person FOR EACH ROW", "person_behind_the_last"),
}
"""When each trigger of a PostgreSQL journal of the first schema fires, and what it calls."""


def guard_statements(dialect: str) -> list[str]:
    """Return the statements that put the guards of the first schema up.

    Args:
        dialect: ``sqlite`` or ``postgresql``.
    """
    if dialect == "sqlite":
        return list(SQLITE_GUARDS.values())
    functions = [
        f"CREATE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $guard${_body(name)}$guard$"
        for name in POSTGRESQL_FUNCTIONS
    ]
    return functions + [
        f"CREATE TRIGGER {name} {when} EXECUTE FUNCTION {function}()"
        for name, (when, function) in POSTGRESQL_TRIGGERS.items()
    ]


def _body(name: str) -> str:
    return " BEGIN " + POSTGRESQL_FUNCTIONS[name].replace("REFUSE", _REFUSE) + " END "


def missing_guards(connection: Connection) -> list[str]:
    """Name the guards that are gone, switched off or changed."""
    if connection.dialect.name == "sqlite":
        wanted = SQLITE_GUARDS | SQLITE_PHOTO_GUARDS
        return _differing(wanted, _named(connection, _SQLITE_TRIGGERS))
    bodies = {name: _body(name) for name in POSTGRESQL_FUNCTIONS}
    triggers = POSTGRESQL_TRIGGERS | POSTGRESQL_PHOTO_TRIGGERS
    called = {name: function for name, (_, function) in triggers.items()}
    return _differing(bodies, _named(connection, _FUNCTIONS)) + _differing(
        called, _named(connection, _TRIGGERS)
    )


_SQLITE_TRIGGERS = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
_FUNCTIONS = (
    "SELECT proname, prosrc FROM pg_proc JOIN pg_namespace n ON n.oid = pronamespace "
    "WHERE n.nspname = current_schema()"
)
_TRIGGERS = (
    "SELECT tgname, proname FROM pg_trigger JOIN pg_proc p ON p.oid = tgfoid "
    "JOIN pg_class c ON c.oid = tgrelid JOIN pg_namespace n ON n.oid = c.relnamespace "
    "WHERE n.nspname = current_schema() AND NOT tgisinternal AND tgenabled IN ('O', 'A')"
)


def _differing(wanted: dict[str, str], there: dict[str, str]) -> list[str]:
    return sorted(
        name for name in wanted.keys() | there.keys() if wanted.get(name) != there.get(name)
    )


def _named(connection: Connection, query: str) -> dict[str, str]:
    return {str(name): str(content) for name, content in connection.execute(text(query))}
