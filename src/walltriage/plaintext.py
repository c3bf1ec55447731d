"""Text from people made harmless to print, without changing what it says."""

from __future__ import annotations

import unicodedata

_BIDI = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def printable(text: str) -> str:
    """Show control characters, lone surrogates and direction marks as visible escapes.

    Line breaks and tabs become spaces: what is printed stays on its line.
    """
    return "".join(_shown(character) for character in text)


def _shown(character: str) -> str:
    if character in "\n\r\t":
        return " "
    if character in _BIDI or unicodedata.category(character) in ("Cc", "Cs", "Zl", "Zp"):
        point = ord(character)
        return f"\\x{point:02x}" if point < 0x100 else f"\\u{point:04x}"
    return character
