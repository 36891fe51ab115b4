"""Files that are in danger, foreign, newer, broken, locked or full: said clearly, nothing changed.

D3, D13 and D14; the dangers are those of "How To Corrupt An SQLite Database File" (sqlite.org).
"""

from __future__ import annotations

import os
import random
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import psycopg
import pytest
from sqlalchemy import text
from tests.records.case_entries import entry, opened

from tankside.errors import CouldNotSave, Mistake, NotPossible
from tankside.records.case_store import append_entries, create_case, read_case
from tankside.records.journal import engine, opening, safe_place
from tankside.records.journal.engine import has_sound_wal
from tankside.records.journal.opening import open_journal
from tankside.records.journal.place import JournalPlace, journal_place
from tankside.records.journal.verify import verify_place


@pytest.fixture
def file(sqlite_place: JournalPlace, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give the file of a journal with two entries."""
    assert sqlite_place.file
    monkeypatch.setenv("TANKSIDE_JOURNAL", str(sqlite_place.file))
    append_entries(create_case("elm", [opened()]), [entry(2)])
    opening._OPENED.clear()
    return sqlite_place.file


def refuse(code: str, file: Path) -> Mistake:
    """Read and write, and see both refused and the folder as it was."""
    before = {path: path.read_bytes() for path in file.parent.iterdir() if path.is_file()}
    with pytest.raises(Mistake, match=code):
        create_case("oak", [opened()])
    with pytest.raises(Mistake, match=code) as refused:
        read_case("elm")
    after = {path: path.read_bytes() for path in file.parent.iterdir() if path.is_file()}
    assert after == before
    return refused.value


def test_a_link_is_refused(file: Path) -> None:
    moved = file.with_name("moved.db")
    file.rename(moved)
    file.symlink_to(moved)
    refuse("E-DB-08", file)
    file.unlink()
    file.hardlink_to(moved)
    refuse("E-DB-08", file)


def test_a_folder_is_refused(file: Path) -> None:
    file.unlink()
    file.mkdir()
    refuse("E-DB-08", file)


@pytest.mark.skipif(os.geteuid() != 0, reason="only root can give a file away")
def test_a_file_of_somebody_else_is_refused(file: Path) -> None:
    os.chown(file, 12345, 12345)
    assert "another user" in refuse("E-DB-08", file).message


@pytest.mark.parametrize("kind", ["nfs4", "cifs", "smb3", "fuse.sshfs", "9p"])
def test_a_network_drive_is_refused(
    file: Path, kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    mounts = tmp_path / "mountinfo"
    inner = str(file.parent).replace(" ", "\\040")
    mounts.write_text(
        "22 1 8:1 / / rw - ext4 /dev/sda1 rw\n"
        f"30 22 0:40 / {inner} rw shared:1 - {kind} server:/share rw\n"
        f"31 22 0:41 / {inner}-other rw - ext4 /dev/sdb1 rw\n"
    )
    monkeypatch.setattr(safe_place, "MOUNTS", mounts)
    assert "network" in refuse("E-DB-08", file).message
    mounts.write_text(mounts.read_text().replace(kind, "xfs"))
    assert read_case("elm").version == 2


def test_the_journal_of_a_crash_that_went_missing_is_noticed(file: Path) -> None:
    """A half-written file whose rollback journal was deleted: what SQLite cannot mend."""
    with closing(sqlite3.connect(file, isolation_level=None)) as connection:
        connection.execute("PRAGMA cache_size = 1")
        connection.execute("PRAGMA cache_spill = 1")
        connection.execute("BEGIN IMMEDIATE")
        before = file.read_bytes()
        connection.execute("CREATE TABLE big (x)")
        connection.executemany("INSERT INTO big VALUES (?)", [("y" * 900,)] * 400)
        half = file.read_bytes()
        connection.execute("ROLLBACK")
    assert half != before, "nothing was spilled: nothing was tried"
    file.write_bytes(half)
    refuse("E-DB-05", file)


def test_write_ahead_logging_is_left_where_this_sqlite_does_it_badly(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine, "has_sound_wal", lambda: False)
    with closing(sqlite3.connect(file)) as other:
        assert other.execute("PRAGMA journal_mode = WAL").fetchone() == ("wal",)
        other.execute("BEGIN")
        other.execute("SELECT count(*) FROM entry").fetchone()
        with pytest.raises(NotPossible, match="E-DB-08"):
            read_case("elm")
    assert read_case("elm").version == 2
    assert file.read_bytes()[18:20] == b"\x01\x01", "still in write-ahead logging"


@pytest.mark.parametrize(
    ("version", "sound"),
    [((3, 40, 1), False), ((3, 51, 2), False), ((3, 51, 3), True), ((3, 52, 0), False),
     ((3, 53, 0), True), ((3, 54, 1), True)],
)  # fmt: skip
def test_write_ahead_logging_is_used_only_where_it_is_mended(
    version: tuple[int, ...], sound: bool
) -> None:
    """sqlite.org, "The WAL-Reset Bug": fixed in 3.51.3 and 3.53.0; 3.52.0 was withdrawn."""
    assert has_sound_wal(version) is sound


@pytest.mark.parametrize(
    ("sound", "mode", "level"), [(False, "delete", 3), (True, "wal", 2)], ids=["old", "new"]
)
def test_a_commit_is_synced_in_full(
    file: Path, sound: bool, mode: str, level: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine, "has_sound_wal", lambda: sound)
    with open_journal().reading() as connection:
        said = [
            connection.execute(text(f"PRAGMA {name}")).scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "trusted_schema")
        ]
    assert said == [mode, level, 1, 0]


def test_a_server_acknowledges_only_what_is_on_its_disk(place: JournalPlace) -> None:
    create_case("elm", [opened()])
    if place.file is None:
        with open_journal(place).reading() as connection:
            assert connection.execute(text("SHOW synchronous_commit")).scalar() == "on"


def test_a_newer_schema_is_refused_and_nothing_is_written(place: JournalPlace) -> None:
    create_case("elm", [opened()])
    journal = open_journal(place)
    with journal.writing() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(NotPossible, match="E-DB-06"):
        create_case("oak", [opened()])  # opened before the other program changed it
    opening._OPENED.clear()
    with pytest.raises(NotPossible, match="newer"):
        read_case("elm")
    with pytest.raises(NotPossible, match="E-DB-06"):
        create_case("oak", [opened()])


@pytest.mark.parametrize(
    "content",
    [b"", b"x", b"SQLite format 3\0", b"x" * 5000, "database"],
    ids=["empty", "short", "header", "long", "database"],
)
def test_a_foreign_file_is_refused_and_stays(file: Path, content: bytes | str) -> None:
    file.unlink()
    if isinstance(content, str):
        with closing(sqlite3.connect(file)) as made:
            made.execute("CREATE TABLE entry (x)")
            made.commit()
    else:
        file.write_bytes(content)
    opening._OPENED.clear()
    refuse("E-DB-0", file)


def test_a_foreign_database_is_refused_and_stays(place: JournalPlace) -> None:
    if place.file:
        return
    with open_journal(place, make=True).engine.connect() as connection:
        connection.execute(text("SELECT 1"))
    opening._OPENED.clear()
    with psycopg.connect(f"postgresql://{place.url}", autocommit=True) as other:
        other.execute("DROP TABLE alembic_version")
    with pytest.raises(NotPossible, match="E-DB-07"):
        create_case("elm", [opened()])


@pytest.mark.parametrize("files", [60, pytest.param(500, marks=pytest.mark.slow)])
def test_mutated_files_crash_nothing_and_are_not_written_into(file: Path, files: int) -> None:
    """Bytes changed, cut or doubled; a change in unused space may leave a whole journal (D14)."""
    whole = file.read_bytes()
    chance = random.Random(3)
    refused = 0
    for _ in range(files):
        data = bytearray(whole)
        for _ in range(chance.choice((1, 4, 40))):
            data[chance.randrange(len(data))] = chance.randrange(256)
        if chance.random() < 0.2:
            data = data[: chance.randrange(len(data))]
        file.write_bytes(data)
        opening._OPENED.clear()
        try:
            read_case("elm")
        except Mistake:
            refused += 1
        verify_place(journal_place(file))
        assert file.read_bytes() == bytes(data)
    assert refused > files // 3


def test_a_writer_that_holds_the_journal_is_said(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine, "WAIT_MS", 50)
    stored = read_case("elm")
    opening._OPENED.clear()
    with closing(sqlite3.connect(file, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(CouldNotSave, match="E-DB-03") as refused:
            append_entries(stored, [entry(3)])
        assert refused.value.exit_code == 5
        assert read_case("elm").version == 2
        other.execute("ROLLBACK")
    assert append_entries(stored, [entry(3)]).version == 3


def test_a_full_disk_is_said_and_keeps_what_was_there(
    file: Path, full_disk: Callable[[int], None]
) -> None:
    stored = read_case("elm")
    full_disk(file.stat().st_size)
    with pytest.raises(CouldNotSave, match="disk full") as refused:
        append_entries(stored, [entry(3, text="x" * 9000)])
    assert (refused.value.code, refused.value.exit_code) == ("E-DB-02", 5)
    assert read_case("elm").version == 2
    full_disk(10_000_000)
    assert append_entries(stored, [entry(3)]).version == 3
    assert verify_place(journal_place(file)).faults == ()


def test_a_file_that_may_not_grow_is_said(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    stored = read_case("elm")
    durable = engine.make_durable

    def capped(connection: sqlite3.Connection, extra: object = None) -> None:
        durable(connection, extra)
        connection.execute("PRAGMA max_page_count = 1")

    monkeypatch.setattr(engine, "make_durable", capped)
    opening._OPENED.clear()
    with pytest.raises(CouldNotSave, match="E-DB-02"):
        append_entries(stored, [entry(3, text="x" * 9000)])
    assert read_case("elm").version == 2


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(CouldNotSave, match="E-DB-04"):
        open_journal(journal_place(tmp_path / "file" / "journal.db"), make=True)
