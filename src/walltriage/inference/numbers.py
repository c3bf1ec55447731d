"""The preliminary numbers of a wall, where its measurements allow any."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from walltriage.case.model import Answer
from walltriage.inference.evaluate import Evaluation
from walltriage.knowledge.base import KnowledgeBase


def wall_numbers(
    base: KnowledgeBase, result: Evaluation, answers: Mapping[str, Answer]
) -> dict[str, Any] | None:
    """Span, loads and members as plain data, or None."""
    return None
