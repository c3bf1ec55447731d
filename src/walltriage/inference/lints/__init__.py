"""Lints that need the belief arithmetic, and the list of all lints that ``rules check`` runs."""

from walltriage.inference.lints import effective, reach
from walltriage.knowledge.lints import LINTS as KNOWLEDGE_LINTS
from walltriage.knowledge.lints.model import Lint

ALL_LINTS: tuple[Lint, ...] = (*KNOWLEDGE_LINTS, *effective.LINTS, *reach.LINTS)
