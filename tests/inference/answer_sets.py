"""Random answer sets over a knowledge base, for property tests."""

from __future__ import annotations

import random

from hypothesis import strategies as st

from walltriage.case.model import NO_ANSWER, SURENESS_IN_FILES, Answer
from walltriage.knowledge.base import AskedQuestion, KnowledgeBase


def random_answer(question: AskedQuestion, draw: random.Random) -> Answer:
    """Any answer the question accepts."""
    sure = draw.choice(SURENESS_IN_FILES)
    if draw.random() < 0.15:
        return Answer(draw.choice(NO_ANSWER), sure=sure)
    if question.entry.answer in ("length", "number"):
        least, most = (question.number(m) for m in (question.entry.least, question.entry.most))
        number = round(draw.uniform(least, most), 0 if question.entry.years else 1)
        given = f"{number} in" if question.entry.answer == "length" else f"{number}"
        return Answer(question.band_of(number), number, given, sure)
    if question.entry.answer == "text":
        return Answer("words", None, "words", sure)
    return Answer(draw.choice(question.values), sure=sure)


def random_answers(base: KnowledgeBase, seed: int, share: float | None = None) -> dict[str, Answer]:
    """Answers to a random part of all questions; ``share`` of them, else a random share."""
    draw = random.Random(seed)
    share = draw.random() if share is None else share
    return {
        name: random_answer(question, draw)
        for name, question in base.questions.items()
        if draw.random() < share
    }


SEEDS = st.integers(min_value=0, max_value=2**32)
