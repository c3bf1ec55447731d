"""Lints that need the belief arithmetic, and the list of all lints that ``rules check`` runs."""

from walltriage.knowledge.lints import LINTS as KNOWLEDGE_LINTS
from walltriage.knowledge.lints.model import Lint
from walltriage.rule_testing.lints import effective, reach

ALL_LINTS: tuple[Lint, ...] = (*KNOWLEDGE_LINTS, *effective.LINTS, *reach.LINTS)
