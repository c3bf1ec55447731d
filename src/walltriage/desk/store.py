"""The database: opened, brought to the current form, read and written in transactions.

SQLite runs with a write-ahead log and full synchronization: what was committed survives a
killed process and a power cut.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine, create_engine, event, make_url
from sqlalchemy.exc import DisconnectionError, SQLAlchemyError
from sqlalchemy.orm import Session
from sqlalchemy.pool import ConnectionPoolEntry

from walltriage.errors import refuse

MIGRATIONS = Path(__file__).resolve().parent / "migrations"
BUSY_MS = 20_000  # how long a writer waits for another one
RESTED_S = 1.0  # a connection to a server that rested so long is tried before it is used


class Store:
    """One database; safe to use from several threads."""

    def __init__(self, url: str) -> None:
        self.url = url
        self.engine = _engine(url)
        # on a server each statement of a reader sees what is committed by then, in a transaction
        # or not; without one it takes one way there and back, not three
        alone = {} if self.engine.name == "sqlite" else {"isolation_level": "AUTOCOMMIT"}
        self._reading = self.engine.execution_options(**alone)

    @contextmanager
    def read(self) -> Iterator[Session]:
        """Something to look at, in which nothing is changed; on SQLite as it stood at one time."""
        with Session(self._reading, expire_on_commit=False) as session:
            yield session

    @contextmanager
    def write(self) -> Iterator[Session]:
        """A transaction: kept as a whole when the block ends, not at all when it raises."""
        engine = self.engine.execution_options(writes=True)
        with Session(engine, expire_on_commit=False) as session, session.begin():
            yield session

    def bring_up_to_date(self) -> None:
        """Migrate to the current form; :class:`InputError` for a database that is newer."""
        config = _config()
        script = ScriptDirectory.from_config(config)
        known = {revision.revision for revision in script.walk_revisions()}
        try:
            with self.engine.connect() as connection:
                found = MigrationContext.configure(connection).get_current_revision()
            if found is not None and found not in known:
                what = "was written by a newer edition of this program"
                raise refuse(self.shown, what, "update walltriage")
            if found == script.get_current_head():
                return
            with self.engine.execution_options(writes=True).begin() as connection:
                config.attributes["connection"] = connection
                command.upgrade(config, "head")
        except SQLAlchemyError as error:
            what = f"cannot be opened: {_reason(error)}"
            expected = "expected a database this program may write"
            raise refuse(self.shown, what, expected) from None

    @property
    def shown(self) -> str:
        """The URL without its password."""
        return make_url(self.url).render_as_string(hide_password=True)

    def close(self) -> None:
        self.engine.dispose()


def _reason(error: SQLAlchemyError) -> str:
    text = str(getattr(error, "orig", None) or error)
    return text.strip().splitlines()[0]


def _config() -> Config:
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    return config


def _engine(url: str) -> Engine:
    # parameters are what people wrote: they have no place in an error's text and so in a log
    if make_url(url).get_backend_name() != "sqlite":
        engine = create_engine(
            url, pool_size=10, max_overflow=10, pool_use_lifo=True, hide_parameters=True
        )
        _try_rested_ones(engine)
        return engine
    engine = create_engine(
        url, pool_size=10, max_overflow=30, connect_args={"timeout": BUSY_MS / 1000},
        hide_parameters=True,
    )  # fmt: skip
    event.listen(engine, "connect", _on_connect)
    event.listen(engine, "begin", _on_begin)
    return engine


def _try_rested_ones(engine: Engine) -> None:
    """Try each connection that rested before it is used: a server that was started anew knows it
    no longer.  To try all of them every time would take a way there and back for each statement."""

    def on_checkin(_: Any, record: ConnectionPoolEntry) -> None:
        record.info["rests_since"] = time.monotonic()

    def on_checkout(connection: Any, record: ConnectionPoolEntry, _: Any) -> None:
        since = record.info.get("rests_since")
        if since is None or time.monotonic() - since < RESTED_S:
            return
        try:
            engine.dialect.do_ping(connection)
        except Exception as error:  # of whatever kind the server's library raises
            raise DisconnectionError from error  # the pool makes another one

    event.listen(engine, "checkin", on_checkin)
    event.listen(engine, "checkout", on_checkout)


def _on_connect(connection: sqlite3.Connection, _: object) -> None:
    connection.isolation_level = None  # transactions are begun below, not guessed at
    cursor = connection.cursor()
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", "secure_delete=ON"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _on_begin(connection: Any) -> None:
    # a writer takes its turn at the start: one that read first could not go on to write
    writes = connection.get_execution_options().get("writes")
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def now(after: timedelta = timedelta()) -> str:
    """The time in UTC to the second, as it is kept; later by ``after``."""
    return (datetime.now(UTC) + after).strftime("%Y-%m-%dT%H:%M:%SZ")
