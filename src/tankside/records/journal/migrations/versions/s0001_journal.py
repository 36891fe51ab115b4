"""The first journal: entries in a chain, people apart from them, the list of cases.

Revision ID: 0001
Revises:
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from tankside.records.journal.guards import guard_statements

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

APPLICATION_ID = 0x546B736A
COUNTED = "sequence >= 1 AND case_number >= 1 AND case_version >= 1"
NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    """Make the tables, the mark in a SQLite file's header, and the guards."""
    _make_case_list()
    _make_journal()
    _make_person()
    _make_projection()
    _make_entry()
    dialect = op.get_bind().dialect.name
    if dialect == "sqlite":
        op.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    for statement in guard_statements(dialect):
        op.execute(sa.text(statement))


def downgrade() -> None:
    """Refuse: entries are never taken away."""
    raise NotImplementedError("a journal does not go back")


def _make_case_list() -> None:
    op.create_table(
        "case_list",
        sa.Column("case_number", NUMBER, autoincrement=False, nullable=False),
        sa.Column("label", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("name_key", sa.Text(), nullable=False),
        sa.Column("keeper", NUMBER, nullable=False),
        sa.Column("opened", sa.String(length=10), nullable=False),
        sa.Column("last", sa.String(length=10), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("closed", sa.Integer(), nullable=False),
        sa.Column("content_hash", sa.String(length=64), nullable=False),
        sa.PrimaryKeyConstraint("case_number", name=op.f("pk_case_list")),
    )
    op.create_index("ix_case_list_name_key", "case_list", ["name_key"], unique=False)


def _make_journal() -> None:
    op.create_table(
        "journal",
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("identity", sa.String(length=32), nullable=False),
        sa.Column("begun_at", sa.Text(), nullable=False),
        sa.CheckConstraint("number = 1", name=op.f("ck_journal_single")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_journal")),
    )


def _make_person() -> None:
    op.create_table(
        "person",
        sa.Column("number", NUMBER, autoincrement=False, nullable=False),
        sa.Column("commitment", sa.String(length=64), nullable=False),
        sa.Column("salt", sa.String(length=32), nullable=True),
        sa.Column("name", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_person")),
    )
    op.create_index("uq_person_name", "person", ["name"], unique=True)


def _make_projection() -> None:
    op.create_table(
        "projection",
        sa.Column("name", sa.String(length=40), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("through_sequence", NUMBER, nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_projection")),
    )


def _make_entry() -> None:
    op.create_table(
        "entry",
        sa.Column("sequence", NUMBER, autoincrement=False, nullable=False),
        sa.Column("case_number", NUMBER, nullable=False),
        sa.Column("case_version", sa.Integer(), nullable=False),
        sa.Column("label", sa.Text(), nullable=True),
        sa.Column("written_at", sa.Text(), nullable=False),
        sa.Column("clock", sa.Text(), nullable=True),
        sa.Column("recorded_at", sa.Text(), nullable=False),
        sa.Column("occurred_at", sa.Text(), nullable=False),
        sa.Column("author", NUMBER, nullable=False),
        sa.Column("author_role", sa.Text(), nullable=True),
        sa.Column("submission", sa.Text(), nullable=True),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("previous", sa.String(length=64), nullable=False),
        sa.Column("hash", sa.String(length=64), nullable=False),
        sa.CheckConstraint("(label IS NULL) OR (case_version = 1)", name=op.f("ck_entry_label")),
        sa.CheckConstraint(
            "sequence >= 1 AND case_number >= 1 AND case_version >= 1",
            name=op.f("ck_entry_counted"),
        ),
        sa.ForeignKeyConstraint(["author"], ["person.number"], name=op.f("fk_entry_author")),
        sa.PrimaryKeyConstraint("sequence", name=op.f("pk_entry")),
        sa.UniqueConstraint("case_number", "case_version", name="uq_entry_case_number"),
    )
    op.create_index("ix_entry_submission", "entry", ["submission"], unique=False)
    op.create_index("uq_entry_hash", "entry", ["hash"], unique=True)
    op.create_index("uq_entry_label", "entry", ["label"], unique=True)
