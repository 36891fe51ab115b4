"""The engine of a journal: how durable it is, how long it waits, how a transaction begins.

Write-ahead logging is used only where the linked SQLite is free of the WAL-reset fault (sqlite.org,
fixed in 3.51.3; 3.52.0 was withdrawn); elsewhere a rollback journal whose removal is synced too.
"""

from __future__ import annotations

import random
import sqlite3
import time
from pathlib import Path
from typing import Any
from urllib.parse import quote

from sqlalchemy import Engine, create_engine, event
from sqlalchemy.pool import NullPool

from tankside.errors import NotPossible
from tankside.records.journal.place import JournalPlace

WAIT_MS = 10_000
LONGEST_PAUSE_S = 0.01
PRIMARY_CODE = 0xFF
"""The part of an error code of SQLite that names its kind."""
FIXED = (3, 51, 3)
WITHDRAWN = (3, 52, 0)
WRITES = "tankside_writes"
ONE_WRITER = 0x74616E6B73696465
"""The advisory lock that writers of a PostgreSQL journal take one after another."""


def has_sound_wal(version: tuple[int, ...] = sqlite3.sqlite_version_info) -> bool:
    """Whether write-ahead logging of a SQLite version is free of the WAL-reset fault."""
    return version >= FIXED and version != WITHDRAWN


def journal_engine(place: JournalPlace) -> Engine:
    """Return the engine of a journal that is to be read and written.

    Raises:
        NotPossible: E-DB-09 when the PostgreSQL driver is not installed.
    """
    return _sqlite(place.file) if place.file else _postgresql(place)


def looking_engine(file: Path) -> Engine:
    """Return the engine for a first look at a SQLite file, which writes nothing into it.

    Where a crash left a half-written transaction behind, SQLite undoes it.
    """
    crashed = file.with_name(file.name + "-journal").exists()
    return _connecting(file, "mode=rw") if crashed else reading_engine(file)


def reading_engine(file: Path, *, apart: bool = False) -> Engine:
    """Return the engine of a SQLite file that is only read.

    Args:
        file: the database.
        apart: nobody else has it open, and it is read without locks and side files.
    """
    return _connecting(file, "mode=ro" + ("&immutable=1" if apart else ""))


def _sqlite(file: Path) -> Engine:
    # A file that went away is not made anew by opening it.
    engine = _connecting(file, "mode=rw")
    event.listen(engine, "connect", make_durable)
    return engine


def _connecting(file: Path, how: str) -> Engine:
    address = f"file:{quote(str(file))}?{how}"
    engine = create_engine(
        "sqlite://",
        creator=lambda: sqlite3.connect(address, uri=True, timeout=WAIT_MS / 1000),
        poolclass=NullPool,
    )
    event.listen(engine, "connect", _guarded)
    event.listen(engine, "begin", _begin)
    return engine


def _guarded(connection: Any, _: object) -> None:  # noqa: ANN401 (the driver's)
    """Let nothing in the file itself run: it may come from somebody else."""
    connection.isolation_level = None
    connection.execute(f"PRAGMA busy_timeout = {WAIT_MS}")
    connection.execute("PRAGMA trusted_schema = OFF")
    connection.execute("PRAGMA cell_size_check = ON")
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA recursive_triggers = ON")
    # A name that is taken away is not left in the free bytes of a page.
    connection.execute("PRAGMA secure_delete = ON")


def make_durable(connection: Any, _: object = None) -> None:  # noqa: ANN401 (the driver's)
    """Set how a SQLite connection writes; a commit that returned survives a loss of power.

    Raises:
        NotPossible: E-DB-08 when the file stays in write-ahead logging that is not sound here.
    """
    wanted = "wal" if has_sound_wal() else "delete"
    if _pragma(connection, "journal_mode") != wanted:
        try:
            mode = _pragma(connection, f"journal_mode = {wanted}")
        except sqlite3.OperationalError:
            mode = _pragma(connection, "journal_mode")
        if mode == "wal" != wanted:
            raise NotPossible(
                "E-DB-08",
                "Another program keeps the journal in write-ahead logging, "
                "which this SQLite does not do soundly.",
                given=f"SQLite {sqlite3.sqlite_version}",
                needed="one version of the program on a journal at a time",
                next_step="Close the other program, then try again.",
                field="journal",
            )
    connection.execute(f"PRAGMA synchronous = {'FULL' if has_sound_wal() else 'EXTRA'}")
    connection.execute("PRAGMA fullfsync = ON")


def _pragma(connection: Any, words: str) -> str:  # noqa: ANN401 (the driver's)
    return str(connection.execute(f"PRAGMA {words}").fetchone()[0]).lower()


def _postgresql(place: JournalPlace) -> Engine:
    try:
        import psycopg  # noqa: F401 (SQLAlchemy would say it in its own words)
    except ImportError:
        raise NotPossible(
            "E-DB-09",
            "The library that talks to PostgreSQL is not installed.",
            given=str(place),
            needed="the package psycopg",
            next_step='Install it with: pip install "tankside[shared]"',
            field="journal",
        ) from None
    settings = f"-c synchronous_commit=on -c lock_timeout={WAIT_MS} -c timezone=UTC"
    engine = create_engine(
        f"postgresql+psycopg://{place.url}",
        poolclass=NullPool,
        connect_args={"options": settings, "connect_timeout": WAIT_MS // 1000},
    )
    event.listen(engine, "begin", _begin)
    return engine


def _begin(connection: Any) -> None:  # noqa: ANN401 (the framework's event)
    """Begin a transaction that writes as the only writer; one that reads sees one moment."""
    writes = connection.get_execution_options().get(WRITES, False)
    if connection.dialect.name == "sqlite" and writes:
        _begin_writing(connection)
    elif connection.dialect.name == "sqlite":
        connection.exec_driver_sql("BEGIN")
    elif writes:
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({ONE_WRITER})")
    else:
        connection.exec_driver_sql("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")


def _begin_writing(connection: Any) -> None:  # noqa: ANN401 (the framework's event)
    """Begin as the only writer, asking at short random intervals for as long as it takes.

    SQLite's own waiting asks the more seldom the longer it waits, so that among many writers one
    could wait until it gave up while those that came later went ahead.
    """
    driver = connection.connection.driver_connection
    until = time.monotonic() + WAIT_MS / 1000
    driver.execute("PRAGMA busy_timeout = 0")
    try:
        while time.monotonic() < until:
            try:
                driver.execute("BEGIN IMMEDIATE")
            except sqlite3.OperationalError as refused:
                if refused.sqlite_errorcode & PRIMARY_CODE != sqlite3.SQLITE_BUSY:
                    break
                time.sleep(random.uniform(0, LONGEST_PAUSE_S))
            else:
                return
        connection.exec_driver_sql("BEGIN IMMEDIATE")
    finally:
        driver.execute(f"PRAGMA busy_timeout = {WAIT_MS}")
