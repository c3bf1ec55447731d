"""Run by Alembic on the connection it is given."""

from __future__ import annotations

from alembic import context

from walltriage.desk.tables import Base

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    render_as_batch=True,
)
context.run_migrations()
