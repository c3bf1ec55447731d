"""A desk of its own for each test, and people at browsers without JavaScript."""

from __future__ import annotations

import pytest

pytest.importorskip("starlette")
pytest.importorskip("sqlalchemy")
pytest.importorskip("httpx")

from tests.desk.browser import Desks


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
