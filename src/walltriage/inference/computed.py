"""Answers that are worked out from measurements instead of being asked."""

from __future__ import annotations

from collections.abc import Mapping

from walltriage.case.model import Answer
from walltriage.knowledge.base import KnowledgeBase


def computed_from(base: KnowledgeBase) -> frozenset[str]:
    """The questions whose answers :func:`computed_answers` reads, and no others."""
    return frozenset()


def computed_answers(base: KnowledgeBase, answers: Mapping[str, Answer]) -> dict[str, Answer]:
    """Answers to the computed questions for which the measurements suffice."""
    return {}
