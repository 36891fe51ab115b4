"""Pictures kept with the cases; the entry that came with one says so in the chain.

Revision ID: 0003
Revises: 0002
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from tankside.records.journal.photo_guards import photo_guard_statements

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table and its guards; earlier entries have no picture."""
    op.create_table(
        "photo",
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("size_bytes", sa.Integer(), nullable=False),
        sa.Column("data", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("sha256", name=op.f("pk_photo")),
    )
    # Both databases take the constraint with the column; making the table anew would take its
    # guards away.
    op.execute(
        "ALTER TABLE entry ADD COLUMN photo VARCHAR(64) "
        "CONSTRAINT fk_entry_photo REFERENCES photo (sha256)"
    )
    for statement in photo_guard_statements(op.get_bind().dialect.name):
        op.execute(sa.text(statement))


def downgrade() -> None:
    """Refuse: entries are never taken away."""
    raise NotImplementedError("a journal does not go back")
