"""The tables of a journal; what changes here needs a migration beside it.

Texts that identify a person stand in ``person`` alone; an entry carries the number. Moments are
text as written, so that both databases keep the same bytes.
"""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

REVISION = "0003"
"""The schema this program reads and writes."""

APPLICATION_ID = 0x546B736A
"""Marks the header of a SQLite file as a journal."""

HASH = String(64)
BY_SIGN = Text().with_variant(Text(collation="C"), "postgresql")
"""Text in the order of its signs, on both databases."""
NUMBER = BigInteger().with_variant(Integer(), "sqlite")

METADATA = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_name)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "pk": "pk_%(table_name)s",
    }
)

JOURNAL = Table(
    "journal",
    METADATA,
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("identity", String(32), nullable=False),
    Column("begun_at", Text, nullable=False),
    CheckConstraint("number = 1", name="single"),
)
"""One row: which journal this is. The chain begins with it."""

PERSON = Table(
    "person",
    METADATA,
    Column("number", NUMBER, primary_key=True, autoincrement=False),
    Column("commitment", HASH, nullable=False),
    Column("salt", String(32)),
    Column("name", Text),
    Index("uq_person_name", "name", unique=True),
)
"""Who wrote, keeps or looks after; name and salt are gone when the person is removed."""

PHOTO = Table(
    "photo",
    METADATA,
    Column("sha256", HASH, primary_key=True),
    Column("size_bytes", Integer, nullable=False),
    Column("data", LargeBinary, nullable=False),
)
"""Pictures, each once under its fingerprint; never changed, never taken away."""

ENTRY = Table(
    "entry",
    METADATA,
    Column("sequence", NUMBER, primary_key=True, autoincrement=False),
    Column("case_number", NUMBER, nullable=False),
    Column("case_version", Integer, nullable=False),
    Column("label", Text),
    Column("written_at", Text, nullable=False),
    Column("clock", Text),
    Column("recorded_at", Text, nullable=False),
    Column("occurred_at", Text, nullable=False),
    Column("author", NUMBER, ForeignKey("person.number"), nullable=False),
    Column("author_role", Text),
    Column("submission", Text),
    Column("body", Text, nullable=False),
    Column("previous", HASH, nullable=False),
    Column("hash", HASH, nullable=False),
    Column("photo", HASH, ForeignKey("photo.sha256")),
    UniqueConstraint("case_number", "case_version", name="uq_entry_case_number"),
    CheckConstraint("sequence >= 1 AND case_number >= 1 AND case_version >= 1", name="counted"),
    CheckConstraint("(label IS NULL) OR (case_version = 1)", name="label"),
    Index("uq_entry_label", "label", unique=True),
    Index("uq_entry_hash", "hash", unique=True),
    Index("ix_entry_submission", "submission"),
)
"""What was entered, in the order of writing; never changed, never taken away.

``label`` is the short name of the case (with its first entry); ``clock`` is "back" or "ahead"
where the clock had jumped; ``submission`` the key of the save; ``photo`` the picture that was
kept with it.
"""

PROJECTION = Table(
    "projection",
    METADATA,
    Column("name", String(40), primary_key=True),
    Column("revision", Integer, nullable=False),
    Column("through_sequence", NUMBER, nullable=False),
)
"""How far each table that is made from the entries reaches, and which form of it stands there."""

CASE_LIST = Table(
    "case_list",
    METADATA,
    Column("case_number", NUMBER, primary_key=True, autoincrement=False),
    Column("label", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("name_key", Text, nullable=False),
    Column("keeper", NUMBER, nullable=False),
    Column("opened", String(10), nullable=False),
    Column("last", String(10), nullable=False),
    Column("version", Integer, nullable=False),
    Column("closed", Integer, nullable=False),
    Column("content_hash", HASH, nullable=False),
    Index("ix_case_list_name_key", "name_key"),
    Index("ix_case_list_keeper", "keeper"),
)
"""The cases in short; made from the entries."""

CASE_WORD = Table(
    "case_word",
    METADATA,
    Column("case_number", NUMBER, primary_key=True, autoincrement=False),
    Column("place", String(20), primary_key=True),
    Column("word", BY_SIGN, primary_key=True),
    Column("content_hash", HASH, nullable=False),
    Index("ix_case_word_word", "word", "case_number"),
)
"""The words by which a case is searched, plain and small; no name of a person is among them."""

CASE_DUE = Table(
    "case_due",
    METADATA,
    Column("case_number", NUMBER, primary_key=True, autoincrement=False),
    Column("due_on", String(10), primary_key=True),
    Column("what", String(20), primary_key=True),
    Column("steps", Integer, nullable=False),
    Column("content_hash", HASH, nullable=False),
    Index("ix_case_due_due_on", "due_on"),
)
"""The days on which a case waits for somebody."""

CASE_OUTCOME = Table(
    "case_outcome",
    METADATA,
    Column("case_number", NUMBER, primary_key=True, autoincrement=False),
    Column("closed_on", String(10)),
    Column("outcome", String(20)),
    Column("days", Integer, nullable=False),
    Column("fish", Integer),
    Column("deaths", Integer, nullable=False),
    Column("content_hash", HASH, nullable=False),
)
"""How a case ended, for statistics across cases; ``fish`` is NULL where nobody counted them."""
