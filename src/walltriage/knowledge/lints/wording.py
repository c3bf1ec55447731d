"""Questions that a lay person can read, and that do not lead to an answer."""

from __future__ import annotations

import re
from collections.abc import Iterator
from statistics import median

from walltriage.errors import Problem
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.lints.model import at, lint
from walltriage.knowledge.lints.reading import grade
from walltriage.knowledge.trade_words import (
    explained_in,
    glosses,
    texts_of,
    trade_words_in,
)

HIGHEST_GRADE = 8.0
HIGHEST_MEDIAN = 6.0
LEADING = re.compile(
    r"\b(?:non-?)?(?:load[- ]?)?bearing\b|\bstructural(?:ly)?\b|\bobvious(?:ly)?\b|\bof course\b|"
    r"\bsurely\b|\bsafe(?:ly)? to (?:remove|cut|take|open|knock)\b|"
    r"\bdon't you\b|\bisn't it\b|\baren't they\b|"
    r"\bas you (?:know|can see)\b|\bprobably\b|\blikely\b|\bsupporting wall\b",
    re.IGNORECASE,
)
_QUOTED = re.compile(r"""(?<!\w)['"“‘][^'"”’]{2,40}['"”’](?!\w)""")  # what is read off a paper


def _grades(base: KnowledgeBase) -> dict[str, float]:
    return {
        name: grade(f"{question.entry.ask}\n\n{question.entry.look}")
        for name, question in base.questions.items()
        if question.entry.kind != "computed"
    }


@lint("error", "use shorter sentences and shorter words in 'ask' and 'look'")
def reading_grade(base: KnowledgeBase) -> Iterator[Problem]:
    """Questions whose 'ask' and 'look' need more than eight years of school."""
    for name, needed in _grades(base).items():
        if needed > HIGHEST_GRADE:
            what = f"'{name}' reads at grade {needed:.1f}, over {HIGHEST_GRADE:g}"
            yield at(base, what, name, "ask")


@lint("error", "make the longest questions plainer")
def reading_median(base: KnowledgeBase) -> Iterator[Problem]:
    """A questionnaire that is hard on the whole though no question is too hard."""
    grades = _grades(base)
    middle = median(grades.values())
    if middle > HIGHEST_MEDIAN:
        hardest = max(grades, key=lambda name: (grades[name], name))
        what = f"half of the questions read at grade {middle:.1f} or harder"
        yield at(base, f"{what}, over {HIGHEST_MEDIAN:g}; the hardest is this", hardest, "ask")


@lint("error", "ask only what is to be seen")
def leading_word(base: KnowledgeBase) -> Iterator[Problem]:
    """Words that tell what answer is hoped for, or which way it counts."""
    for name, question in base.questions.items():
        for where, text in texts_of(question.entry).items():
            for word in dict.fromkeys(
                found.lower() for found in LEADING.findall(_QUOTED.sub(" ", text))
            ):
                yield at(base, f"'{word}' in '{name}' leads the person asked", name, *where)


@lint(
    "error", "explain it in glossary.yaml, or in brackets right after the word, or say it plainly"
)
def unglossed_word(base: KnowledgeBase) -> Iterator[Problem]:
    """Trade words in questions, or in the glossary itself, that the glossary lacks."""
    known = {word.lower() for word in base.glossary}
    for name, question in base.questions.items():
        if question.entry.kind == "computed":
            continue
        explained = known | explained_in(question.entry, base.glossary)
        for where, text in texts_of(question.entry).items():
            for word in trade_words_in(text, base.glossary):
                if word not in explained:
                    yield at(base, f"'{word}' in '{name}' is not explained", name, *where)
    for word, gloss in base.glossary.items():
        for other in trade_words_in(gloss, base.glossary):
            if other not in known or other == word.lower():
                yield at(base, f"the gloss of '{word}' needs '{other}' explained", word)


@lint("warning", "take it out of glossary.yaml")
def unused_gloss(base: KnowledgeBase) -> Iterator[Problem]:
    """Words explained though no question, and no other gloss, uses them."""
    used = {w for q in base.questions.values() for w in glosses(q.entry, base.glossary)}
    for gloss in base.glossary.values():
        used |= set(trade_words_in(gloss, base.glossary))
    for word in base.glossary:
        if word.lower() not in used:
            yield at(base, f"no question uses the explained word '{word}'", word)
