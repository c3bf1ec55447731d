"""A desk of its own for each test, and people at browsers without JavaScript."""

from __future__ import annotations

import pytest

pytest.importorskip("starlette")
pytest.importorskip("sqlalchemy")
pytest.importorskip("httpx")

from argon2 import PasswordHasher

from tests.desk.browser import Desks
from walltriage.desk import people


@pytest.fixture(scope="session", autouse=True)
def shipped_hasher():
    """Passwords are hashed and checked as ever, at a thousandth of the cost; gives the real one."""
    shipped = people._HASHER
    people._HASHER = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
    yield shipped
    people._HASHER = shipped


@pytest.fixture
def desks(full, tmp_path):
    """Makes desks over the shipped rules."""
    made = Desks(full, tmp_path)
    yield made
    made.close()


@pytest.fixture
def desk(desks):
    """One desk on a new SQLite file."""
    return desks.make()
