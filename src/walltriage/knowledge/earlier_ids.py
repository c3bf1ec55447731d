"""What cannot be meant under ``was:``, where a question names its ids of earlier editions."""

from __future__ import annotations

from collections.abc import Iterator

from walltriage.errors import Problem
from walltriage.knowledge.base import AskedQuestion, KnowledgeBase


def check(base: KnowledgeBase) -> Iterator[Problem]:
    """Earlier ids that are in use, and options that lead nowhere."""
    for question in base.questions.values():
        for index, earlier in enumerate(question.entry.was):
            where = base.place(question.id, "was", index, "question")
            own = earlier.question == question.id
            if earlier.question in base.questions and not own:
                what = f"'{earlier.question}' is a question of today, not an earlier id"
                yield Problem(*where, what, "expected an id that is free")
            if own and not earlier.options and not earlier.of_house:
                what = f"'{question.id}' was '{question.id}' before: that tells nothing"
                yield Problem(*where, what, "expected the options that had other ids")
            yield from _options(base, question, index, own)


def _options(
    base: KnowledgeBase, question: AskedQuestion, index: int, own: bool
) -> Iterator[Problem]:
    for old, now in question.entry.was[index].options.items():
        where = base.place(question.id, "was", index, "options", old)
        if now not in question.values:
            known = ", ".join(question.values) or "a question with options"
            yield Problem(*where, f"'{question.id}' has no option '{now}'", f"expected {known}")
        if own and old in question.values:
            what = f"'{old}' is an option of '{question.id}' today"
            yield Problem(*where, what, "expected an id that is free")
