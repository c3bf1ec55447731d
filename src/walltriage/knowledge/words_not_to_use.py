"""Words that American readers of the residential trade stumble over, and what to write instead.

British spellings, words from other trades and countries, and turns of phrase that describe a
thing whose name the trade has.  The style sheet (``docs/style.md``) gives the rules behind them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple


class WordFound(NamedTuple):
    """A word as it stands in a text, where it begins, and what to write instead."""

    word: str
    at: int
    instead: str


# A pattern, matched without regard to case between the edges of words, and what to write instead.
SPELLINGS = {
    r"storeys?": "story, stories",
    r"grey(?:s|ish)?": "gray",
    r"(?:colou|neighbou|favou|behaviou|honou|labou|vapou)r(?:s|ed|ing|hood|able|ite)?": "-or",
    r"judgements?": "judgment",
    r"licences?": "license",
    r"(?:centre|metre|fibre|litre|millimetre)[sd]?": "-er",
    r"mould(?:s|y|ing)?": "mold",
    r"(?:organ|recogn|util|real|final|general|special|minim|maxim|normal|summar|author|emphas)is"
    r"(?:e[sd]?|ing|ations?)": "-ize",
    r"analys(?:ed|ing)": "analyze",
    r"(?:cancell|labell|modell|travell|levell|panell|signall)(?:ed|ing)": "one l",
    r"(?:fulfil|enrol|skilful)s?": "fulfill, enroll, skillful",
    r"(?:learnt|spelt|whilst|amongst)": "learned, spelled, while, among",
    r"(?:after|to)wards": "afterward, toward",
    r"(?:programme|cheque|tyre|kerb|plough|draught)s?": "program, check, tire, curb, draft",
    r"aluminium": "aluminum",
}
TRADE = {
    r"props?|propp(?:ed|ing)": "brace (slanted), post (upright), shoring (temporary)",
    r"boards? on edge|upright boards?|ceiling boards?": "joist, stud",
    r"(?:sloped )?roof boards(?! or painted)": "rafter; sheathing",
    r"ready-made frames?": "truss",
    r"metal shoes?": "hanger",
    r"(?:thick|carrying) truss(?:es)?": "girder truss",
    r"stiffeners?": "strongback",
    r"wall ?boards?|plaster ?boards?": "drywall",
    r"partition walls?": "partition",
    r"(?:inside|inner) walls?": "interior wall",
    r"outer walls?": "outside wall",
    r"idle walls?": "non-bearing wall",
    r"ground floor": "main floor",
    r"(?:basement|top|ground|middle) level": "basement, top floor, main floor",
    r"cellars?|lofts?": "basement, attic",
    r"skirting(?: boards?)?|architraves?|base boards?": "baseboard, trim",
    r"lintels?": "header",
    r"noggins?|noggings?": "blocking",
    r"battens?": "furring strip",
    r"wall plates?": "top plate, bottom plate",
    r"joiners?": "carpenter",
    r"cupboards?": "cabinet, closet",
    r"fire (?:brigade|service)": "fire department",
    r"air photos?": "aerial photo",
    r"twin houses?": "house with the same floor plan",
    r"truss sheets?": "truss drawing",
}
PHRASES = {
    r"told": "reported, said, given, called",
    r"tell(?:s|ing)? of": "show, report, describe",
    r"stands? on|standing on|stood on": "rests on, sits on, lands on",
    r"one (?:can|could|cannot|can't|sees|knows)": "you can, you can't",
    r"(?:has|have) the (?:house|wall|roof)": "does the ... have",
    r"look down this list": "go down this list",
    r"mend(?:s|ed|ing)?": "fix, correct",
    r"reckon(?:s|ed|ing)?": "count, figure, assume",
    r"(?:is|are) not meant": "does not count, does not apply",
    r"half way": "halfway",
    r"(?:all|turn(?:ed|s)?|look(?:ed)?|walls?|it) round|round the": "around",
    r"it must not go|may not go|to go before": "come out",
    r"no two ways|be of one kind|of the same kind": "match, the same",
    r"let(?:s)? fall": "drop",
    r"(?:up|down) there, how": "in the attic, below",
}
_ALL = {**SPELLINGS, **TRADE, **PHRASES}
_PATTERN = re.compile(
    "|".join(rf"(?P<w{n}>\b(?:{pattern})\b)" for n, pattern in enumerate(_ALL)), re.IGNORECASE
)
_INSTEAD = tuple(_ALL.values())


def words_not_to_use(text: str) -> Iterator[WordFound]:
    """Each word of the text that is on the list, in the order met."""
    for match in _PATTERN.finditer(text):
        assert match.lastgroup is not None
        yield WordFound(match[0], match.start(), _INSTEAD[int(match.lastgroup[1:])])
