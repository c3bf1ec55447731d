"""Where a wall that cannot be told leans, as ``rules/leaning.yaml`` has it."""

from __future__ import annotations

from walltriage.inference.engine.evaluate import Evaluation
from walltriage.inference.finding import Leaning
from walltriage.knowledge.base import KnowledgeBase

BARS = ("gate", "referral")  # kinds of rules that can bar a leaning toward non-bearing


def leaning_of(base: KnowledgeBase, result: Evaluation) -> Leaning | None:
    """The leaning of an evaluated wall; None with a verdict, or for rules without leanings."""
    if base.leaning is None or result.verdict != "cannot_tell":
        return None
    stands = {firing.rule for kind in BARS for firing in result.fired(kind)}
    barred = not stands.isdisjoint(base.leaning.barred_by)
    steps = base.leaning.barred_steps if barred else base.leaning.steps
    step = next(s for s in steps if result.measures["middle"] < s.under)
    return Leaning(step.toward, step.chance, step.says, step.work)
