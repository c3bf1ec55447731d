"""Words in page templates: found for the catalog, and put into another language when one is read.

A template has its English in it.  What stands between two tags, or in an attribute that is read
aloud or shown, is one text; names in it (``{{ ... }}``) divide it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

_CODE = re.compile(r"{#.*?#}|{%.*?%}|{{.*?}}|<(?:style|script)\b.*?</(?:style|script)>", re.DOTALL)
_TAG = re.compile(r"<[^>]*>")
_SHOWN = re.compile(r'(?<=\s)(?:aria-label|alt|placeholder|title)="([^"]*)"')
_QUOTED = re.compile(r"{{(.*?)}}", re.DOTALL)
_STRING = re.compile(r"(?<![\w=\[~ ]\()\"([^\"{}<>/]*[A-Za-z]{2}[^\"{}<>/]*)\"")
_SAID = re.compile(r'\bsay\("([^"]+)"')
_LETTERS = re.compile(r"[A-Za-z]{2}")


def translated(source: str, say: Callable[[str], str]) -> str:
    """The template with all its words said otherwise."""
    parts, at = [], 0
    for start, end in sorted(_places(source)):
        text = source[start:end]
        bare = text.strip()
        parts += [source[at:start], text.replace(bare, say(" ".join(bare.split())))]
        at = end
    return "".join((*parts, source[at:]))


def texts(source: str) -> Iterator[str]:
    """Every text of the template, with those that its code chooses from."""
    for start, end in _places(source):
        yield " ".join(source[start:end].split())
    yield from said(source)
    for code in _QUOTED.findall(source):
        yield from (text for text in _STRING.findall(code) if " " in text or text[:1].isupper())


def said(source: str) -> Iterator[str]:
    """What a template has said by itself, as ``say("...")``."""
    yield from _SAID.findall(source)


def _places(source: str) -> Iterator[tuple[int, int]]:
    """Where words stand between tags and in attributes, from and to."""
    hidden = _CODE.sub(lambda found: "\0" * len(found[0]), source)
    for found in _SHOWN.finditer(hidden):
        yield from _pieces(hidden, *found.span(1))
    at = 0
    for tag in _TAG.finditer(hidden):
        yield from _pieces(hidden, at, tag.start())
        at = tag.end()
    yield from _pieces(hidden, at, len(hidden))


def _pieces(hidden: str, start: int, end: int) -> Iterator[tuple[int, int]]:
    for found in re.finditer(r"[^\0]+", hidden[start:end]):
        if _LETTERS.search(found[0]):
            yield start + found.start(), start + found.end()
