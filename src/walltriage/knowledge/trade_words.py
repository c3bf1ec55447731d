"""Words of the building trades that a lay person need not know.

The glossary of the knowledge base explains them; a word missing there may not stand in a
question unless the question explains it in brackets.  Common words with a plain meaning
(wall, floor, roof, attic, post, board, beam, brick, pipe) are not here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from walltriage.knowledge.schema import Question

TRADE_WORDS = frozenset(
    """
    joist; rafter; truss; purlin; strut; collar tie; collar beam; rafter tie; ridge beam;
    ridge board; knee wall; kneewall; header; lintel; girder; girder truss; sill plate; mudsill;
    top plate; bottom plate; sole plate; cripple; jack stud; king stud; trimmer; blocking;
    bridging; nailer; soffit; fascia; gable; valley rafter; hip rafter; jack rafter; cantilever;
    balloon frame; platform frame; flush beam; dropped beam; drop beam; hanger; joist hanger;
    ledger; rim joist; rim board; band joist; i-joist; gusset; web member; bottom chord; top chord;
    chord; scissor truss; attic truss; strongback; furring; sheathing; subfloor; footing; pier;
    pilaster; wythe; veneer; lath; newel; stringer; dormer; mullion; span; point load; dead load;
    live load; load path; tributary; deflection; shear; shear wall; racking; bracing; lvl; glulam;
    psl; lsl; osb; summer beam; tie beam; plank wall; party wall; curtain wall; partition;
    soleplate; wall plate; splice; lap joint; notch; birdsmouth; bearing plate; lally column;
    stud finder; flitch plate; truss clip; sistered; plumb; clerestory; cathedral ceiling;
    vaulted ceiling; split level; tray ceiling; slab on grade; grade beam; stem wall; underpinning
    """.replace("\n", " ").split(";")
)
_WORDS = frozenset(" ".join(word.split()) for word in TRADE_WORDS)


@lru_cache(maxsize=8)
def _pattern(words: frozenset[str]) -> re.Pattern[str]:
    longest_first = sorted(words, key=lambda word: (-len(word), word))
    stems = "|".join(re.escape(word).replace(r"\ ", r"[\s-]+") for word in longest_first)
    return re.compile(rf"\b({stems})(e?s)?\b", re.IGNORECASE)


PARTS = ("ask", "options", "look", "why")

_BRACKETS = re.compile(r"[\w-]+\s*\([^()]*\)")


def texts_of(question: Question) -> dict[tuple[str | int, ...], str]:
    """Everything a person reads when asked, by its key path in the question."""
    texts: dict[tuple[str | int, ...], str] = {
        ("ask",): question.ask,
        ("look",): question.look,
        ("why",): question.why,
    }
    for index, option in enumerate(question.options):
        texts["options", index, "says"] = option.says
    return texts


def trade_words_in(text: str, glossary: Iterable[str]) -> list[str]:
    """Trade words of the text in the order met, in the singular and lower case."""
    known = _WORDS | frozenset(word.lower() for word in glossary)
    found = [re.sub(r"[\s-]+", " ", match[1].lower()) for match in _pattern(known).finditer(text)]
    return [_as_listed(word, known) for word in dict.fromkeys(found)]


def explained_in(question: Question, glossary: Iterable[str]) -> set[str]:
    """Trade words that the question explains: "joists (boards on edge)", or turned about."""
    explained: set[str] = set()
    for text in texts_of(question).values():
        for match in _BRACKETS.finditer(text):
            before, inside = text[: match.end()].rsplit("(", 1)
            explained |= set(trade_words_in(inside, glossary))
            word = trade_words_in(" ".join(before.split()[-3:]), glossary)
            explained |= (
                set(word[-1:]) if before.rstrip().lower().endswith(_endings(word)) else set()
            )
    return explained


def _endings(words: list[str]) -> tuple[str, ...]:
    return tuple(word + plural for word in words[-1:] for plural in ("", "s", "es"))


def _as_listed(word: str, known: frozenset[str]) -> str:
    hyphenated = word.replace(" ", "-")
    return hyphenated if word not in known and hyphenated in known else word


def glosses(
    question: Question, glossary: Mapping[str, str], parts: Iterable[str] = PARTS
) -> dict[str, str]:
    """The plain meaning of each trade word in these parts of a question, in the order met."""
    texts = texts_of(question).items()
    return glosses_in(
        [text for part in parts for where, text in texts if where[0] == part], glossary
    )


def glosses_in(texts: Iterable[str], glossary: Mapping[str, str]) -> dict[str, str]:
    """The plain meaning of each trade word in some texts, in the order met."""
    plain = {word.lower(): gloss for word, gloss in glossary.items()}
    used = dict.fromkeys(word for text in texts for word in trade_words_in(text, glossary))
    return {word: plain[word] for word in used if word in plain}
