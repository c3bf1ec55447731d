"""How hard a text is to read: the Flesch-Kincaid grade.

Syllables are counted by a hyphenation dictionary.  That never parts a single letter (o-ver,
an-y), so the groups of vowels are counted too and the higher count is taken.
"""

from __future__ import annotations

import re
from functools import cache

from pyphen import Pyphen

_SENTENCE_END = re.compile(r"[.!?]+(?:\s|$)|\n\s*\n")
_WORD = re.compile(r"[A-Za-z]+(?:'[A-Za-z]+)?|\d[\d.,/]*")


_VOWELS = re.compile(r"[aeiouy]+")
_SILENT = re.compile(r"(?:(?<![aeiouyl])e|(?<![aeiouylsxzcgh])es|(?<![aeiouytd])ed)$")


@cache
def _hyphens() -> Pyphen:
    return Pyphen(lang="en_US")


@cache
def syllables(word: str) -> int:
    """Syllables of one word, at least one; a number counts as one."""
    low = word.lower()
    spoken = _SILENT.sub("", low) if len(_VOWELS.findall(low)) > 1 else low
    return max(len(_hyphens().positions(low)) + 1, len(_VOWELS.findall(spoken)), 1)


def grade(text: str) -> float:
    """School grade needed: 0.39 words per sentence + 11.8 syllables per word - 15.59.

    A text without words has grade 0.
    """
    words = _WORD.findall(text)
    if not words:
        return 0.0
    sentences = sum(1 for part in _SENTENCE_END.split(text) if part and _WORD.search(part))
    return (
        0.39 * len(words) / sentences
        + 11.8 * sum(syllables(word) for word in words) / len(words)
        - 15.59
    )
