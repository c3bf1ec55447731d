"""Second looks that were offered"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "looks_offered",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("house_id", sa.Integer(), nullable=False),
        sa.Column("wall", sa.String(length=60), nullable=False),
        sa.Column("stop", sa.String(length=100), nullable=False),
        sa.Column("at", sa.String(length=20), nullable=False),
        sa.ForeignKeyConstraint(["house_id"], ["houses.id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("looks_offered", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_looks_offered_house_id"), ["house_id"], unique=False)
