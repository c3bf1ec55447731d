"""The texts of a rules folder that people read: questions, options, reasons, cautions, glosses.

Everything else in the files (ids, conditions, weights, sources, cases) is for the program.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from walltriage.yamltree import KeyPath

TEXT_KEYS = frozenset(
    {
        "ask", "because", "builds", "cannot_show", "limits", "look", "means", "refer", "says",
        "sees", "settled_by", "shows", "size", "sketch", "states", "title", "tool", "why", "work",
    }
)  # fmt: skip
_NOT_FOR_PEOPLE = frozenset({"cases", "source", "when", "simulated"})
GLOSSARY = "glossary.yaml"
PUBLISHED = "sources.yaml"  # titles as their publishers wrote them


def visible_texts(data: object, where: KeyPath = ()) -> Iterator[tuple[KeyPath, str]]:
    """Each text for people with the keys that lead to it, in the order of the file."""
    if isinstance(data, dict):
        for key, value in data.items():
            if key in _NOT_FOR_PEOPLE:
                continue
            if key in TEXT_KEYS or (key == "none" and "items" in data):
                yield from _strings(value, (*where, key))
            elif key == "options":
                yield from _short_options(value, (*where, key))
            if not isinstance(value, str):
                yield from visible_texts(value, (*where, key))
    elif isinstance(data, list):
        for index, value in enumerate(data):
            yield from visible_texts(value, (*where, index))


def _strings(value: object, where: KeyPath) -> Iterator[tuple[KeyPath, str]]:
    """A text, a list of texts, or texts by id (the states of a condition, shared wording)."""
    if isinstance(value, str):
        yield where, value
    elif isinstance(value, list):
        yield from (((*where, n), text) for n, text in enumerate(value) if isinstance(text, str))
    elif where[-1] in ("states", "why", "says") and isinstance(value, dict):
        yield from (((*where, key), text) for key, text in value.items() if isinstance(text, str))


def _short_options(value: object, where: KeyPath) -> Iterator[tuple[KeyPath, str]]:
    """Options written as ``id: [says, means]``."""
    if isinstance(value, dict):
        for key, texts in value.items():
            if isinstance(texts, list):
                yield from (((*where, key, n), text) for n, text in enumerate(texts))


def in_language(data: Any, file_name: str, say: Callable[[str], str]) -> Any:
    """The same data with ``say`` of each text for people in the text's place."""
    if file_name == GLOSSARY:
        return {say(word): say(gloss) for word, gloss in data.items()}
    return _put(data, {keys: say(text) for keys, text in visible_texts(data)}, ())


def texts_of_file(data: Any, file_name: str) -> Iterator[str]:
    """Each text for people of one file; of the glossary its words and what they mean."""
    if file_name == GLOSSARY:
        for word, gloss in data.items():
            yield from (word, gloss)
    elif file_name != PUBLISHED:
        yield from (text for _, text in visible_texts(data))


def _put(data: Any, texts: dict[KeyPath, str], where: KeyPath) -> Any:
    if isinstance(data, dict):
        return {key: _put(value, texts, (*where, key)) for key, value in data.items()}
    if isinstance(data, list):
        return [_put(value, texts, (*where, index)) for index, value in enumerate(data)]
    return texts.get(where, data)
