"""The language that people read.

English is written in the code and in the rules, and every English text is its own name in the
catalogs: ``locale/LANGUAGE/LC_MESSAGES/walltriage.mo`` beside this file.  What a catalog lacks is
said in English.
"""

from __future__ import annotations

import gettext
from collections.abc import Callable
from functools import _lru_cache_wrapper
from pathlib import Path
from typing import Any, TypeVar

DOMAIN = "walltriage"
FOLDER = Path(__file__).resolve().parent / "locale"
ENGLISH = "en"

_said: gettext.NullTranslations = gettext.NullTranslations()
_code = ENGLISH
_words = ""
_remembering: list[Callable[[], None]] = []

Remembering = TypeVar("Remembering", bound="_lru_cache_wrapper[Any]")


def forgets(function: Remembering) -> Remembering:
    """A function with a cache whose results hold sentences: emptied when the language changes."""
    _remembering.append(function.cache_clear)
    return function


def _changed() -> None:
    for forget in _remembering:
        forget()


def use(language: str) -> None:
    """Say everything from now on in ``language``, such as ``es`` or ``es_MX``."""
    global _said, _code, _words
    _said = gettext.translation(DOMAIN, str(FOLDER), languages=[language], fallback=True)
    _code = language.partition("_")[0] if translating() else ENGLISH
    _words = _digest(gettext.find(DOMAIN, str(FOLDER), [language], all=True))
    _changed()


def code() -> str:
    """The language in use as pages name it, such as ``es``; ``en`` where it has no catalog."""
    return _code


def _digest(catalogs: list[str]) -> str:
    if not catalogs:
        return ""
    import hashlib  # who speaks English need not wait for it

    found = hashlib.sha256()
    for path in catalogs:
        found.update(Path(path).read_bytes())
    return found.hexdigest()


def words() -> str:
    """What tells the catalog in use from every other; empty where nothing does."""
    return _words


def use_catalog(catalog: gettext.NullTranslations, words: str = "") -> Callable[[], None]:
    """Say everything by this catalog; call what comes back to undo it.

    ``words`` tell it from every other; without them nothing said by it is kept in a file.
    """
    global _said, _words
    before, _said, _words = (_said, _words), catalog, words
    _changed()

    def undo() -> None:
        global _said, _words
        _said, _words = before
        _changed()

    return undo


def translating() -> bool:
    """Whether there is a catalog for the language in use."""
    return type(_said) is not gettext.NullTranslations


def say(text: str, /, **names: object) -> str:
    """The text in the language in use, with ``names`` filled in where it has them in braces.

    A text that is no name in the catalog, such as a person's own words, comes back as it is.
    """
    return _filled(_said.gettext(text), text, names) if text else text


def say_count(one: str, many: str, count: int, **names: object) -> str:
    """The one of two texts that fits the count, in the language in use, with ``{count}`` in it."""
    given = {"count": count, **names}
    return _filled(_said.ngettext(one, many, count), one if count == 1 else many, given)


def _filled(found: str, english: str, names: dict[str, object]) -> str:
    """With its names filled in; in English where a translation asks for names nobody gives."""
    if not names:
        return found
    try:
        return found.format(**names)
    except (KeyError, IndexError, ValueError):
        return english.format(**names)


def languages() -> list[str]:
    """English, and those that have a catalog."""
    return [ENGLISH, *sorted(path.parent.parent.name for path in FOLDER.glob(f"*/*/{DOMAIN}.mo"))]
