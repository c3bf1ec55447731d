"""A pseudo-language: every text of the catalog in brackets, with accents on its vowels.

What comes out without them was left out of the catalog, or is said past it.
"""

from __future__ import annotations

import gettext
import re
from functools import cache

from tests.conftest import RULES
from walltriage import catalog
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.load import load_knowledge
from walltriage.language import say

ACCENTS = str.maketrans("aeiouAEIOU", "áéíóúÁÉÍÓÚ")
_NAMES = re.compile(r"(\{[^}]*\})")


@cache
def catalog_texts() -> dict[str, set[str]]:
    """The catalog, made once."""
    return catalog.made()


class Pseudo(gettext.NullTranslations):
    """A language with a word for everything in the catalog and for nothing else."""

    def __init__(self) -> None:
        super().__init__()
        self.known = dict(catalog_texts())

    def gettext(self, message):
        if message not in self.known:
            return message
        parts = _NAMES.split(message)
        marked = (part if part.startswith("{") else part.translate(ACCENTS) for part in parts)
        return f"⟦{''.join(marked)}⟧"

    def ngettext(self, msgid1, msgid2, n):
        return self.gettext(msgid1 if n == 1 else msgid2)


def left(text: str) -> str:
    """What stands outside the brackets."""
    before = None
    while before != text:
        before, text = text, re.sub(r"⟦[^⟦⟧]*(?:⟧|…)", "", text)  # a label cut to fit ends in …
    return text


@cache
def pseudo_rules() -> KnowledgeBase:
    """The shipped rules in the pseudo-language, which has to be the one in use."""
    base = load_knowledge(RULES, say=say)
    assert left(next(base.clues()).says or "") == ""
    return base
