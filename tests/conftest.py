"""Shared fixtures: the real knowledge base and a small one, each compiled once."""

from __future__ import annotations

import os
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import yaml

from walltriage.inference.triage import Triager
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.load import load_knowledge
from walltriage.knowledge.rule_cache import cache_folder

HERE = Path(__file__).resolve().parent
SMALL_RULES = HERE / "small_rules"
RULES = HERE.parent / "rules"


def pytest_configure(config: pytest.Config) -> None:
    """Parsed rules are kept in a folder of the tests, one for all their processes.

    So is compiled Python, even where the environment has it compiled at every start: tests start
    the program some hundreds of times.
    """
    if "PYTEST_XDIST_WORKER" not in os.environ:
        folder = TemporaryDirectory(prefix="walltriage-tests-")
        config.add_cleanup(folder.cleanup)
        os.environ["XDG_CACHE_HOME"] = folder.name
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """Each process runs its half of the modules in order, and takes from the other at the end.

    Handed out in turn, every module would be run by both, and make what it shares twice.
    """
    if config.getoption("dist") != "load":
        return None
    from xdist.scheduler import WorkStealingScheduling

    return WorkStealingScheduling(config, log)


def read_yaml(path: Path) -> Any:
    """What a YAML file holds; by the parser in C, where there is one, as files are large."""
    return yaml.load(
        path.read_text(encoding="utf-8"), getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    )


@cache
def shipped_rules() -> KnowledgeBase:
    """The knowledge base that is shipped, parsed once for all processes of the tests."""
    return load_knowledge(RULES, cache_folder())


@pytest.fixture(scope="session")
def small() -> Triager:
    """A tiny knowledge base that shows every kind of rule."""
    return Triager(load_knowledge(SMALL_RULES))


@pytest.fixture(scope="session")
def full() -> Triager:
    """The knowledge base that is shipped."""
    return Triager(shipped_rules())
