"""Text from people made harmless to print, without changing what it says."""

from __future__ import annotations

import unicodedata

_BIDI = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def printable(text: str) -> str:
    """Show control characters, lone surrogates and direction marks as visible escapes.

    So are the code points that are no characters, which HTML and XML do not allow.

    Line breaks and tabs become spaces: what is printed stays on its line.
    """
    if text.isprintable():  # which none of these is
        return text
    return "".join(_shown(character) for character in text)


def _shown(character: str) -> str:
    if character in "\n\r\t":
        return " "
    point = ord(character)
    not_a_character = point & 0xFFFE == 0xFFFE or 0xFDD0 <= point <= 0xFDEF
    hidden = unicodedata.category(character) in ("Cc", "Cs", "Zl", "Zp")
    if hidden or not_a_character or character in _BIDI:
        if point > 0xFFFF:
            return f"\\U{point:08x}"
        return f"\\x{point:02x}" if point < 0x100 else f"\\u{point:04x}"
    return character
