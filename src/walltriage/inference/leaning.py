"""Where a wall that cannot be told leans, as ``rules/leaning.yaml`` has it."""

from __future__ import annotations

from walltriage.inference.engine.evaluate import Evaluation
from walltriage.inference.finding import Leaning
from walltriage.knowledge.base import KnowledgeBase


def leaning_of(base: KnowledgeBase, result: Evaluation) -> Leaning | None:
    """The leaning of an evaluated wall; None with a verdict, or for rules without leanings."""
    if base.leaning is None or result.verdict != "cannot_tell":
        return None
    stands = {firing.rule for firing in result.fired("gate")}
    barred = not stands.isdisjoint(base.leaning.barred_by)
    step = next(s for s in base.leaning.steps if result.measures["middle"] < s.under)
    if barred and step.toward == "non_bearing":
        return Leaning("none", step.chance, base.leaning.barred_says, base.leaning.barred_work)
    return Leaning(step.toward, step.chance, step.says, step.work)
