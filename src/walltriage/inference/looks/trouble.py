"""Which questions may show a house in trouble."""

from __future__ import annotations

from walltriage.inference.looks.worth import Worth


def danger(worth: Worth) -> tuple[frozenset[str], frozenset[str]]:
    """The questions that may show a house in trouble: lists that open such questions, and all."""
    base, uses = worth.base, worth.uses
    urgent = {rule.id for rule in base.cautions.referrals if rule.level == "urgent"}
    asked = {name for name, use in uses.items() if use.other & urgent}
    lists = {
        name
        for name, question in base.questions.items()
        if any(asked & set(opened) for opened in question.entry.opens.values())
    }
    return frozenset(lists), frozenset(lists | asked)
