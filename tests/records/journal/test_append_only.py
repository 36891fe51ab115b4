"""No verb of either database changes or takes away an entry, or the next start sees it (D6)."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from typing import NamedTuple

import psycopg
import pytest
from tests.records.case_entries import entry, opened
from tests.records.conftest import DATABASES
from tests.records.pictures import photo_entry, picture
from tests.records.postgresql import Cluster

from tankside.errors import NotPossible
from tankside.records.case_store import append_entries, create_case, read_case
from tankside.records.journal import cases, opening
from tankside.records.journal.grants import grant_writing
from tankside.records.journal.opening import open_journal
from tankside.records.journal.people import remove_person
from tankside.records.journal.place import VARIABLE, JournalPlace, journal_place
from tankside.records.journal.verify import verify_place


class Kept(NamedTuple):
    place: JournalPlace
    url: str


COLUMNS = (
    "sequence, case_number, case_version, label, written_at, clock, recorded_at, occurred_at, "
    "author, author_role, submission, body, previous, hash, photo"
)
COPY = COLUMNS.replace("body", "'x'")
CHANGES = {
    "update": "UPDATE entry SET body = 'x' WHERE sequence = 2",
    "delete": "DELETE FROM entry WHERE sequence = 2",
    "delete all": "DELETE FROM entry",
    "upsert": f"INSERT INTO entry SELECT {COPY} FROM entry WHERE sequence = 2 "
    "ON CONFLICT (sequence) DO UPDATE SET body = 'x'",
    "insert between": f"INSERT INTO entry ({COLUMNS}) SELECT "
    + COPY.replace("sequence", "0").replace("hash", "'y'").replace("case_version", "9")
    + " FROM entry WHERE sequence = 2",
    "fork": f"INSERT INTO entry ({COLUMNS}) SELECT "
    + COLUMNS.replace("sequence", "sequence + 1").replace(" hash", " 'y'")
    .replace("case_version", "9") + " FROM entry WHERE sequence = 3",
    "another journal": "UPDATE journal SET identity = 'x'",
    "no journal": "DELETE FROM journal",
    "second journal": "INSERT INTO journal VALUES (2, 'x', 'y')",
    "rename a person": "UPDATE person SET name = 'x' WHERE number = 1",
    "new commitment": "UPDATE person SET commitment = 'x', name = NULL, salt = NULL",
    "no person": "DELETE FROM person",
    "another picture": "UPDATE photo SET data = 'x'",
    "no picture": "DELETE FROM photo",
    "upsert a picture": "INSERT INTO photo SELECT sha256, 1, data FROM photo WHERE true "
    "ON CONFLICT (sha256) DO UPDATE SET size_bytes = 1",
}  # fmt: skip
SQLITE_ONLY = {
    "replace": f"INSERT OR REPLACE INTO entry SELECT {COPY} FROM entry WHERE sequence = 2",
    "replace a picture": "INSERT OR REPLACE INTO photo SELECT sha256, 1, data FROM photo",
    "update or replace": "UPDATE OR REPLACE entry SET sequence = 2 WHERE sequence = 3",
}
POSTGRESQL_ONLY = {
    "truncate": "TRUNCATE entry",
    "truncate pictures": "TRUNCATE photo CASCADE",
    "truncate cascade": "TRUNCATE journal, person CASCADE",
    "merge": "MERGE INTO entry e USING (SELECT 2 AS s) x ON e.sequence = x.s "
    "WHEN MATCHED THEN UPDATE SET body = 'x'",
}
REFUSED = r"append only|permission denied|must be owner"
OWNERS_ONLY = {
    "drop trigger": "DROP TRIGGER entry_no_change ON entry",
    "trigger off": "ALTER TABLE entry DISABLE TRIGGER entry_no_change",
    "all off": "ALTER TABLE entry DISABLE TRIGGER ALL",
    "replica": "SET session_replication_role = replica",
    "function": "CREATE OR REPLACE FUNCTION append_only() RETURNS trigger LANGUAGE plpgsql "
    "AS 'BEGIN RETURN NEW; END'",
    "drop table": "DROP TABLE entry CASCADE",
}


@pytest.fixture(scope="module", params=DATABASES)
def shared(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Kept:
    """Give a journal of three entries, which every attempt here leaves as it is."""
    if request.param == "sqlite":
        url = str(tmp_path_factory.mktemp("shared") / "journal.db")
        return Kept(_three_entries(url), url)
    cluster = request.getfixturevalue("cluster")
    url = cluster.new_url()
    return Kept(_three_entries(url), url)


@pytest.fixture
def journal(shared: Kept, monkeypatch: pytest.MonkeyPatch) -> JournalPlace:
    monkeypatch.setenv(VARIABLE, shared.url)
    return shared.place


@pytest.fixture(scope="module")
def desk_shared(cluster: Cluster) -> Kept:
    """Give the journal as the role has it that may only add."""
    url = cluster.new_url()
    owner = _three_entries(url)
    cluster.sql("CREATE ROLE desk LOGIN")
    with open_journal(owner).writing() as connection:
        grant_writing(connection, owner, "desk")
    as_desk = url.replace("keeper_of_tables", "desk")
    return Kept(journal_place(as_desk), as_desk)


@pytest.fixture
def desk(desk_shared: Kept, monkeypatch: pytest.MonkeyPatch) -> JournalPlace:
    monkeypatch.setenv(VARIABLE, desk_shared.url)
    return desk_shared.place


def _three_entries(text: str) -> JournalPlace:
    place = journal_place(text)
    made = cases.create_case("elm", [opened()], place)
    photo = picture()
    entries = [photo_entry(2, photo), entry(3)]
    cases.append_entries(made, entries, place=place, photos=[photo])
    return place


@contextmanager
def raw(place: JournalPlace) -> Iterator[sqlite3.Connection]:
    """Open the file as any other program would, without this one's settings."""
    with closing(sqlite3.connect(str(place.file), isolation_level=None)) as connection:
        yield connection


def attempt(place: JournalPlace, words: str) -> None:
    """Run a statement as another program would."""
    if place.file:
        with raw(place) as connection:
            connection.execute(words)
    else:
        with psycopg.connect(f"postgresql://{place.url}", autocommit=True) as connection:
            connection.execute(words.encode())


def is_whole(place: JournalPlace) -> bool:
    return verify_place(place).faults == () and read_case("elm").version == 3


@pytest.mark.parametrize("verb", [*CHANGES, *SQLITE_ONLY, *POSTGRESQL_ONLY])
def test_no_verb_changes_the_log_even_for_who_owns_the_database(
    journal: JournalPlace, verb: str
) -> None:
    if verb not in CHANGES and (verb in SQLITE_ONLY) != bool(journal.file):
        return
    words = (CHANGES | SQLITE_ONLY | POSTGRESQL_ONLY)[verb]
    with pytest.raises((sqlite3.Error, psycopg.Error), match="append only"):
        attempt(journal, words)
    assert is_whole(journal)


def forget() -> None:
    opening._OPENED.clear()


@pytest.mark.parametrize(
    "words",
    [
        "DROP TRIGGER entry_no_update",
        "PRAGMA writable_schema = ON; DELETE FROM sqlite_master WHERE name = 'entry_no_delete'",
        "PRAGMA writable_schema = ON; UPDATE sqlite_master SET sql = replace(sql, 'BEFORE', "
        "'AFTER') WHERE name = 'entry_at_the_end'",
        "DROP TRIGGER entry_no_update; CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry "
        "BEGIN SELECT 1; END",
        "CREATE TRIGGER another AFTER INSERT ON entry BEGIN DELETE FROM case_list; END",
        "CREATE TABLE another (x)",
        "DROP INDEX uq_entry_label",
        "ALTER TABLE entry ADD COLUMN another",
    ],
)
def test_a_schema_that_was_changed_in_the_file_is_refused_at_the_next_start(
    sqlite_place: JournalPlace, words: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TANKSIDE_JOURNAL", str(sqlite_place.file))
    create_case("elm", [opened()])
    with raw(sqlite_place) as connection:
        connection.executescript(words)
    forget()
    with pytest.raises(NotPossible, match="E-DB-05"):
        read_case("elm")
    assert verify_place(sqlite_place).faults


def test_an_entry_changed_behind_the_guards_is_named_at_the_next_start(
    sqlite_place: JournalPlace, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TANKSIDE_JOURNAL", str(sqlite_place.file))
    append_entries(create_case("elm", [opened()]), [entry(2), entry(3)])
    with raw(sqlite_place) as connection:
        guard = "SELECT sql FROM sqlite_master WHERE name = 'entry_no_update'"
        (sql,) = connection.execute(guard).fetchone()
        connection.execute("DROP TRIGGER entry_no_update")
        connection.execute("UPDATE entry SET body = replace(body, 'note 2', 'note 9')")
        connection.execute(sql)
    with pytest.raises(NotPossible, match="entry 2 is not as it was written"):
        read_case("elm")  # this process had opened it before
    forget()
    with pytest.raises(NotPossible, match="entry 2: is not as it was written"):
        read_case("elm")


@pytest.mark.parametrize("verb", [*CHANGES, *POSTGRESQL_ONLY, *OWNERS_ONLY])
def test_the_role_of_the_program_can_do_none_of_it(desk: JournalPlace, verb: str) -> None:
    with pytest.raises(psycopg.Error, match=REFUSED):
        attempt(desk, (CHANGES | POSTGRESQL_ONLY | OWNERS_ONLY)[verb])
    assert is_whole(desk)


def test_the_role_of_the_program_can_add_and_remove_a_person(
    cluster: Cluster, monkeypatch: pytest.MonkeyPatch
) -> None:
    url = cluster.new_url()
    owner = _three_entries(url)
    cluster.sql("CREATE ROLE other_desk LOGIN")
    with open_journal(owner).writing() as connection:
        grant_writing(connection, owner, "other_desk")
    monkeypatch.setenv(VARIABLE, url.replace("keeper_of_tables", "other_desk"))
    assert append_entries(read_case("elm"), [entry(4)]).version == 4
    with open_journal().writing() as connection:
        remove_person(connection, 1)
    assert verify_place(owner).faults == ()
    assert read_case("elm").entries[1].by == "person 1"


@pytest.mark.parametrize("verb", sorted(set(OWNERS_ONLY) - {"replica"}))
def test_guards_taken_down_by_the_owner_are_seen_at_the_next_start(
    cluster: Cluster, verb: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    url = cluster.new_url()
    owner = _three_entries(url)
    monkeypatch.setenv(VARIABLE, url)
    attempt(owner, OWNERS_ONLY[verb])
    forget()
    with pytest.raises(NotPossible, match=r"E-DB-0[57]"):
        read_case("elm")
    assert verify_place(owner).faults
