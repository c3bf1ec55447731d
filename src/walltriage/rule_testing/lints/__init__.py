"""Lints that need the belief arithmetic, and the list of all lints that ``rules check`` runs."""

from walltriage.knowledge.lints import LINTS as KNOWLEDGE_LINTS
from walltriage.knowledge.lints.model import lints_in
from walltriage.rule_testing.lints import effective, reach

ALL_LINTS = (*KNOWLEDGE_LINTS, *lints_in(effective, reach))
