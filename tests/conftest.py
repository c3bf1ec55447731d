"""Shared fixtures: the real knowledge base and a small one, each compiled once."""

from __future__ import annotations

from pathlib import Path

import pytest

from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge

HERE = Path(__file__).resolve().parent
SMALL_RULES = HERE / "small_rules"
RULES = HERE.parent / "rules"


@pytest.fixture(scope="session", autouse=True)
def own_cache(tmp_path_factory):
    """Commands keep parsed rules in a folder of the tests, not in the user's."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        yield


@pytest.fixture(scope="session")
def small() -> Triager:
    """A tiny knowledge base that shows every kind of rule."""
    return Triager(load_knowledge(SMALL_RULES))


@pytest.fixture(scope="session")
def full() -> Triager:
    """The knowledge base that is shipped."""
    return Triager(load_knowledge(RULES))
