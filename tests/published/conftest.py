"""Published figures live in ``data/`` with their document, edition, table and provenance."""

from pathlib import Path

import pytest

from walltriage.structure.tables import Tables, load_tables

RULES = Path(__file__).parents[2] / "rules"


@pytest.fixture(scope="session")
def tables() -> Tables:
    return load_tables(RULES)
