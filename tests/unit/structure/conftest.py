"""The value files of this checkout."""

from pathlib import Path

import pytest

from walltriage.structure.tables import Tables, load_tables

RULES = Path(__file__).parents[3] / "rules"


@pytest.fixture(scope="session")
def tables() -> Tables:
    return load_tables(RULES)
