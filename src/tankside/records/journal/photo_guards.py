"""What keeps a picture of a journal as it is: kept once, never changed, never taken away."""

from __future__ import annotations

SQLITE_PHOTO_GUARDS = {
    "photo_no_update": (
        "CREATE TRIGGER photo_no_update BEFORE UPDATE ON photo "
        "BEGIN SELECT RAISE(ABORT, 'append only'); END"
    ),
    "photo_no_delete": (
        "CREATE TRIGGER photo_no_delete BEFORE DELETE ON photo "
        "BEGIN SELECT RAISE(ABORT, 'append only'); END"
    ),
    "photo_once": (
        "CREATE TRIGGER photo_once BEFORE INSERT ON photo "
        "WHEN EXISTS (SELECT 1 FROM photo WHERE sha256 = NEW.sha256) "
        "BEGIN SELECT RAISE(ABORT, 'append only'); END"
    ),
}
"""Each trigger on the pictures of a SQLite journal as it stands in its schema."""

POSTGRESQL_PHOTO_TRIGGERS = {
    "photo_no_change": ("BEFORE UPDATE OR DELETE ON photo FOR EACH ROW", "append_only"),
    "photo_no_truncate": ("BEFORE TRUNCATE ON photo FOR EACH STATEMENT", "append_only"),
}
"""When each trigger on the pictures of a PostgreSQL journal fires, and what it calls."""


def photo_guard_statements(dialect: str) -> list[str]:
    """Return the statements that put these guards up.

    Args:
        dialect: ``sqlite`` or ``postgresql``.
    """
    if dialect == "sqlite":
        return list(SQLITE_PHOTO_GUARDS.values())
    return [
        f"CREATE TRIGGER {name} {when} EXECUTE FUNCTION {function}()"
        for name, (when, function) in POSTGRESQL_PHOTO_TRIGGERS.items()
    ]
