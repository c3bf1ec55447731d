"""Everything the interview prints, in ASCII: for terminals that can show nothing else."""

from __future__ import annotations

import unicodedata
from typing import Any, TextIO

_ASCII = {
    "▬": "=", "▔": "-", "▁": "_", "░": ":", "▪": "*", "●": "o", "○": "o", "•": "*", "·": ".",
    "■": "#", "□": "o", "▲": "^", "△": "^", "▼": "v", "▽": "v", "◄": "<", "►": ">", "◀": "<",
    "▶": ">", "←": "<", "→": ">", "↑": "^", "↓": "v", "↔": "-", "↕": "|", "⇒": ">", "‹": "<",
    "›": ">", "«": "<", "»": ">", "–": "-", "—": "-", "‐": "-", "‑": "-", "−": "-", "‘": "'",
    "’": "'", "′": "'", "“": '"', "”": '"', "″": '"', "…": "...", "×": "x", "÷": "/", "±": "+/-",
    "≤": "<=", "≥": ">=", "≈": "~", "≠": "!=", "°": " deg", "½": "1/2", "¼": "1/4", "¾": "3/4",
    "²": "2", "³": "3", "§": "section ", "✓": "x", "✗": "-", "\u00a0": " ", "ß": "ss", "æ": "ae",
    "ø": "o", "╱": "/", "╲": "\\", "╳": "X",
}  # fmt: skip


def _box(char: str) -> str:
    """A line, a crossing or a filled block: what a box-drawing character looks most like."""
    words = set(unicodedata.name(char).replace("-", " ").split())
    if "BLOCK" in words or "SHADE" in words or "QUADRANT" in words:
        return "#"
    across = words & {"HORIZONTAL", "LEFT", "RIGHT"}
    along = words & {"VERTICAL", "UP", "DOWN"}
    if (across and along) or "ARC" in words:
        return "+"
    return "|" if along else "=" if "DOUBLE" in words else "-"


def to_ascii(text: str) -> str:
    """``text`` in ASCII: drawing characters become look-alikes, accents go, the rest is escaped."""
    return text if text.isascii() else "".join(_plain(char) for char in text)


def _plain(char: str) -> str:
    if char.isascii():
        return char
    if char in _ASCII:
        return _ASCII[char]
    if "\u2500" <= char <= "\u259f":
        return _box(char)
    bare = unicodedata.normalize("NFKD", char).encode("ascii", "ignore").decode()
    if bare or unicodedata.combining(char):
        return bare
    return char.encode("ascii", "backslashreplace").decode()


class AsciiStream:
    """A text stream that turns all it is given into ASCII; the rest is the stream's own."""

    encoding = "ascii"  # rich draws no box characters on such a stream

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        self._stream.write(to_ascii(text))
        return len(text)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


def can_draw(stream: TextIO) -> bool:
    """Whether the stream's encoding holds the characters sketches are drawn with."""
    try:
        "─│┌┘┼╱…’".encode(stream.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True
