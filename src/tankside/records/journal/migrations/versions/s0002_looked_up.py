"""What cases are looked up by: words, days on which they wait, how they ended.

Revision ID: 0002
Revises: 0001
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

BY_SIGN = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    """Make the tables; they are filled from the entries when the journal is opened."""
    op.create_table(
        "case_word",
        sa.Column("case_number", NUMBER, autoincrement=False, nullable=False),
        sa.Column("place", sa.String(length=20), nullable=False),
        sa.Column("word", BY_SIGN, nullable=False),
        sa.Column("content_hash", sa.String(length=64), nullable=False),
        sa.PrimaryKeyConstraint("case_number", "place", "word", name=op.f("pk_case_word")),
    )
    op.create_index("ix_case_word_word", "case_word", ["word", "case_number"], unique=False)
    op.create_table(
        "case_due",
        sa.Column("case_number", NUMBER, autoincrement=False, nullable=False),
        sa.Column("due_on", sa.String(length=10), nullable=False),
        sa.Column("what", sa.String(length=20), nullable=False),
        sa.Column("steps", sa.Integer(), nullable=False),
        sa.Column("content_hash", sa.String(length=64), nullable=False),
        sa.PrimaryKeyConstraint("case_number", "due_on", "what", name=op.f("pk_case_due")),
    )
    op.create_index("ix_case_due_due_on", "case_due", ["due_on"], unique=False)
    op.create_table(
        "case_outcome",
        sa.Column("case_number", NUMBER, autoincrement=False, nullable=False),
        sa.Column("closed_on", sa.String(length=10), nullable=True),
        sa.Column("outcome", sa.String(length=20), nullable=True),
        sa.Column("days", sa.Integer(), nullable=False),
        sa.Column("fish", sa.Integer(), nullable=True),
        sa.Column("deaths", sa.Integer(), nullable=False),
        sa.Column("content_hash", sa.String(length=64), nullable=False),
        sa.PrimaryKeyConstraint("case_number", name=op.f("pk_case_outcome")),
    )
    op.create_index("ix_case_list_keeper", "case_list", ["keeper"], unique=False)


def downgrade() -> None:
    """Refuse: entries are never taken away."""
    raise NotImplementedError("a journal does not go back")
