"""Every released schema opens, a migration is whole or not at all, and a copy comes first (D11)."""

from __future__ import annotations

import os
import random
import shutil
import signal
import time
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError
from tests.records.case_entries import entry, opened
from tests.records.postgresql import Cluster

from tankside.errors import NotPossible
from tankside.records.case_store import append_entries, create_case, read_case
from tankside.records.journal import migrate, opening, schema, start_check, upgrading
from tankside.records.journal.engine import WRITES, journal_engine
from tankside.records.journal.migrate import SCRIPTS, upgrade
from tankside.records.journal.opening import open_journal
from tankside.records.journal.place import JournalPlace, journal_place
from tankside.records.journal.schema import METADATA
from tankside.records.journal.upgrading import upgrade_journal
from tankside.records.journal.verify import verify_place
from tankside.services.records_lookup import search_cases

GOLDEN = Path(__file__).parents[2] / "golden" / "journals"
HEADS = {
    "0001": "9139bceb200bd1cf8d8edbe8311b17119fc6d95fbfb68d3048d068a0053a76ca",
    "0002": "9139bceb200bd1cf8d8edbe8311b17119fc6d95fbfb68d3048d068a0053a76ca",
    "0003": "a67cf5c8b1b1f4adf1781e9479aad2ec9f524d43afaa84ffe62183c4e9bc9d68",
}
"""The hash of the last entry of each golden journal, written down when the schema was released."""

NEXT = '''"""A step that a test plants.

Revision ID: 0004
Revises: 0003
"""
import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("case_list", sa.Column("planted", sa.Text()))
    for number in range(60):
        op.execute(f"UPDATE case_list SET planted = '{number}'")
    op.create_index("ix_case_list_planted", "case_list", ["planted"])
'''


def test_the_tables_are_those_of_the_migrations(place: JournalPlace) -> None:
    with open_journal(place, make=True).engine.connect() as connection:
        context = MigrationContext.configure(connection)
        assert compare_metadata(context, METADATA) == []


@pytest.mark.parametrize("revision", HEADS)
def test_a_golden_file_of_every_released_schema_opens(
    revision: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copy(GOLDEN / f"{revision}.db", tmp_path / "journal.db")
    place = journal_place(tmp_path / "journal.db")
    monkeypatch.setenv("TANKSIDE_JOURNAL", str(place.file))
    check_golden(place, HEADS[revision])


@pytest.mark.parametrize("revision", HEADS)
def test_a_golden_dump_of_every_released_schema_opens(
    revision: str, cluster: Cluster, monkeypatch: pytest.MonkeyPatch
) -> None:
    url = cluster.new_url()
    database = url.partition("@/")[2].partition("?")[0]
    cluster.sql((GOLDEN / f"{revision}.sql").read_text(encoding="utf-8"), database)
    monkeypatch.setenv("TANKSIDE_JOURNAL", url)
    check_golden(journal_place(url), HEADS[revision])


def check_golden(place: JournalPlace, head: str) -> None:
    upgrade_journal(place)
    said = verify_place(place)
    assert (said.faults, said.head, said.entries) == ((), head, 4)
    stored = read_case("elm road")
    assert stored.entries[-1].by == "Zoë"
    assert [case.label for case in search_cases("vell")] == ["elm"]
    assert append_entries(stored, [entry(stored.version + 1)]).version == 4


@pytest.fixture
def next_scripts(tmp_path: Path) -> Path:
    """Plant a next schema, as the next version of the program would bring it."""
    scripts = tmp_path / "migrations"
    shutil.copytree(SCRIPTS, scripts, ignore=shutil.ignore_patterns("__pycache__"))
    (scripts / "versions" / "s0004_planted.py").write_text(NEXT, encoding="utf-8")
    return scripts


def revision(place: JournalPlace) -> tuple[str, bool]:
    """Return the schema a journal has, and whether what it brings is there."""
    with journal_engine(place).connect() as connection:
        number = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
        try:
            connection.execute(text("SELECT planted FROM case_list")).all()
        except DBAPIError:  # no such column, in the words of either driver
            return str(number), False
        return str(number), True


def test_a_copy_is_made_before_the_schema_changes(
    place: JournalPlace, next_scripts: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    append_entries(create_case("elm", [opened()]), [entry(2)])
    head = verify_place(place).head
    for module in (schema, upgrading, start_check):
        monkeypatch.setattr(module, "REVISION", "0004")
    monkeypatch.setattr(upgrading, "upgrade", lambda c: upgrade(c, scripts=next_scripts))
    monkeypatch.setattr(upgrading, "user_data_path", lambda _: tmp_path / "user")
    opening._OPENED.clear()
    with pytest.raises(NotPossible, match="records migrate"):
        read_case("elm")
    done = upgrade_journal(place)
    assert (done.before, done.after, revision(place)) == ("0003", "0004", ("0004", True))
    assert done.copy
    kept = journal_place(done.copy)
    assert revision(kept) == ("0003", False)
    with journal_engine(kept).connect() as connection:
        last = connection.execute(text("SELECT hash FROM entry ORDER BY sequence DESC")).scalar()
    assert last == head
    with journal_engine(place).connect() as connection:
        last = connection.execute(text("SELECT hash FROM entry ORDER BY sequence DESC")).scalar()
    assert last == head


@pytest.mark.parametrize("kills", [15, pytest.param(200, marks=pytest.mark.slow)])
def test_a_kill_during_a_migration_leaves_the_old_schema_or_the_new(
    place: JournalPlace, next_scripts: Path, kills: int
) -> None:
    create_case("elm", [opened()])
    migrate.upgrade.__module__  # noqa: B018 (imported before the forks)
    began = time.monotonic()
    os.waitpid(_migrating(place, next_scripts), 0)
    whole_s = time.monotonic() - began
    _take_back(place)
    chance = random.Random(4)
    seen = {"0003": 0, "0004": 0}
    for _ in range(kills):
        child = _migrating(place, next_scripts)
        time.sleep(chance.uniform(0, whole_s))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        number, planted = revision(place)
        assert planted == (number == "0004"), "half a migration is there"
        seen[number] += 1
        if number == "0004":
            _take_back(place)
    assert seen["0003"] > 0
    assert read_case("elm").version == 1


def _migrating(place: JournalPlace, scripts: Path) -> int:
    """Start a migration in a process of its own and return the number of it."""
    child = os.fork()
    if child == 0:
        try:
            engine = journal_engine(place).execution_options(**{WRITES: True})
            with engine.begin() as connection:
                upgrade(connection, scripts=scripts)
        finally:
            os._exit(0)
    return child


def _take_back(place: JournalPlace) -> None:
    with journal_engine(place).begin() as connection:
        if connection.dialect.name == "postgresql":
            connection.execute(text("ROLLBACK"))
            connection.execute(text("BEGIN READ WRITE"))
        for words in (
            "DROP INDEX ix_case_list_planted",
            "ALTER TABLE case_list DROP COLUMN planted",
            "UPDATE alembic_version SET version_num = '0003'",
        ):
            connection.execute(text(words))
