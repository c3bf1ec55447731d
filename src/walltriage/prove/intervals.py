"""Every answer a question can get, as a finite list: measured scales cut where rules read them."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from walltriage.case.model import NO_ANSWER, UNKNOWN, Answer, Sureness
from walltriage.inference.engine.strata import StratifiedRule
from walltriage.knowledge.base import AskedQuestion, KnowledgeBase

NOT_ASKED = ""


@dataclass(frozen=True, slots=True)
class AnswerChoice:
    """One way to answer: an option, a band with a number in it, or "unknown".

    A question that was not asked is told apart from ``unknown`` and ``out_of_reach`` only
    where a rule names one of those two; else the three are one to the rules.
    """

    value: str
    number: float | None = None
    unit: str = ""

    @property
    def is_real(self) -> bool:
        return self.is_asked and self.value not in NO_ANSWER

    @property
    def is_asked(self) -> bool:
        """Whether there is an answer at all; a number may fall in no band."""
        return self.value != NOT_ASKED or self.number is not None

    def answer(self, sure: Sureness = "certain") -> Answer:
        """It as an answer."""
        given = self.value if self.number is None else f"{self.number:g}{self.unit}"
        return Answer(self.value, self.number, given, sure)


def choices(
    base: KnowledgeBase, stratified: list[StratifiedRule]
) -> dict[str, tuple[AnswerChoice, ...]]:
    """By question: all answers that some rule could tell apart, and "unknown"."""
    limits: dict[str, set[float]] = {}
    named: set[str] = set()
    for item in stratified:
        for leaf in {leaf for branch in item.branches for leaf in branch}:
            if leaf.family != "answer":
                continue
            if leaf.comparison is not None:
                limits.setdefault(leaf.name, set()).add(float(leaf.limit or 0))
            named |= {leaf.name} if set(leaf.values) & set(NO_ANSWER) else set()
    found = {}
    for name, question in base.questions.items():
        none = (NOT_ASKED, *NO_ANSWER) if name in named else (UNKNOWN,)
        real = _real(question, limits.get(name, set()))
        found[name] = (*(AnswerChoice(word) for word in none), *real)
    return found


def _real(question: AskedQuestion, limits: set[float]) -> list[AnswerChoice]:
    entry = question.entry
    if entry.answer == "choice":
        return [AnswerChoice(value) for value in question.values]
    if entry.answer == "text":
        return [AnswerChoice("words")]
    least, most = question.number(entry.least or 0), question.number(entry.most or 0)
    marks = {question.number(band.under) for band in entry.bands if band.under is not None}
    marks = {mark for mark in marks | limits if least <= mark <= most}
    points = sorted({least, most, *marks})
    between = [low + (high - low) / 2 for low, high in pairwise(points)]
    unit = " in" if entry.answer == "length" else ""
    return [AnswerChoice(question.band_of(at), at, unit) for at in sorted({*points, *between})]
