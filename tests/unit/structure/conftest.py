"""The value files of this checkout."""

from pathlib import Path

import pytest
from hypothesis import settings

from walltriage.structure.tables import Tables, load_tables

# A slow or shared machine is no failure: only results are judged, not the time of one example.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")

RULES = Path(__file__).parents[3] / "rules"


@pytest.fixture(scope="session")
def tables() -> Tables:
    return load_tables(RULES)
