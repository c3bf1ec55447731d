"""Shared fixtures: the real knowledge base and a small one, each compiled once."""

from __future__ import annotations

from pathlib import Path

import pytest

from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge

HERE = Path(__file__).resolve().parent
SMALL_RULES = HERE / "small_rules"
RULES = HERE.parent / "rules"


@pytest.fixture(scope="session")
def small() -> Triager:
    """A tiny knowledge base that shows every kind of rule."""
    return Triager(load_knowledge(SMALL_RULES))


@pytest.fixture(scope="session")
def full() -> Triager:
    """The knowledge base that is shipped."""
    return Triager(load_knowledge(RULES))
