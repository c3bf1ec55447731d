"""The rules' sketches, typed in characters, as line drawings that fit any screen.

Lines, corners, slopes and blocks become strokes on the grid of the characters; letters stay
letters.  The look's own words tell what a sketch shows, so the drawing itself is hidden from
screen readers.
"""

from __future__ import annotations

import unicodedata
from functools import cache
from html import escape

from markupsafe import Markup

WIDE, HIGH = 9.0, 16.0  # of one character
THIN, THICK = 1.6, 3.2
_SHADES = {"░": 0.25, "▒": 0.45, "▓": 0.65, "█": 1.0}
_PARTS = {  # left, top, width, height as shares of a character
    "▬": (0.0, 0.32, 1.0, 0.36), "▔": (0.0, 0.0, 1.0, 0.14), "▄": (0.0, 0.5, 1.0, 0.5),
    "▌": (0.0, 0.0, 0.5, 1.0), "▐": (0.5, 0.0, 0.5, 1.0), "■": (0.1, 0.28, 0.8, 0.45),
}  # fmt: skip
_RISING, _FALLING = "/╱", "\\╲"
_ENDS = {"LEFT": (0.0, 0.5), "RIGHT": (1.0, 0.5), "UP": (0.5, 0.0), "DOWN": (0.5, 1.0)}
_BOTH = {"HORIZONTAL": ("LEFT", "RIGHT"), "VERTICAL": ("UP", "DOWN")}
_BOX = "BOX DRAWINGS "


def sketch_svg(sketch: str) -> Markup:
    """The drawing as one SVG element; empty for no sketch."""
    rows = sketch.expandtabs(4).rstrip().split("\n") if sketch.strip() else []
    if not rows:
        return Markup("")
    wide, parts = max(len(row) for row in rows) * WIDE, []
    for y, row in enumerate(rows):
        x = 0
        while x < len(row):
            word = _word(row, x)
            parts += [_text(word, x, y)] if word else _drawn(row[x], x, y)
            x += max(len(word), 1)
    high = len(rows) * HIGH
    return Markup(
        '<svg class="sketch" xmlns="http://www.w3.org/2000/svg" aria-hidden="true" '
        f'viewBox="0 0 {wide:g} {high:g}" width="{wide:g}" height="{high:g}">'
        f"{''.join(parts)}</svg>"
    )


def _word(row: str, start: int) -> str:
    """The run of letters from here on, with single spaces between words."""
    end = start
    while end < len(row) and not _is_drawn(row[end]):
        if row[end] == " " and (end == start or row[end + 1 : end + 2] in ("", " ")):
            break
        end += 1
    return row[start:end].rstrip()


def _is_drawn(char: str) -> bool:
    return char in _SHADES or char in _PARTS or char in _RISING + _FALLING or bool(_arms(char))


@cache
def _arms(char: str) -> tuple[tuple[float, float, float], ...]:
    """The strokes of a box-drawing character from its middle: where to, and how thick."""
    name = unicodedata.name(char, "")
    if not name.startswith(_BOX) or "DIAGONAL" in name:
        return ()
    pieces = name.removeprefix(_BOX).split(" AND ")
    usual = THICK if pieces[0].startswith(("DOUBLE", "HEAVY")) else THIN
    found = []
    for piece in pieces:
        words = piece.split()
        thick = THICK if {"DOUBLE", "HEAVY"} & set(words) else usual
        thick = THIN if {"SINGLE", "LIGHT"} & set(words) else thick
        for word in words:
            found += [(*_ENDS[end], thick) for end in _BOTH.get(word, (word,)) if end in _ENDS]
    return tuple(found)


def _text(word: str, x: int, y: int) -> str:
    return (
        f'<text x="{x * WIDE:g}" y="{(y + 0.78) * HIGH:g}" textLength="{len(word) * WIDE:g}" '
        'lengthAdjust="spacingAndGlyphs" font-family="ui-monospace, monospace" '
        f'font-size="14.5" fill="currentColor">{escape(word)}</text>'
    )


def _drawn(char: str, x: int, y: int) -> list[str]:
    if char in _SHADES:
        return [_box(x, y, (0.0, 0.0, 1.0, 1.0), _SHADES[char])]
    if char in _PARTS:
        return [_box(x, y, _PARTS[char], 1.0)]
    if char in _RISING:
        return [_line(x, y, (0.0, 1.0), (1.0, 0.0), THIN)]
    if char in _FALLING:
        return [_line(x, y, (0.0, 0.0), (1.0, 1.0), THIN)]
    return [_line(x, y, (0.5, 0.5), (right, down), thick) for right, down, thick in _arms(char)]


def _line(
    x: int, y: int, start: tuple[float, float], end: tuple[float, float], width: float
) -> str:
    return (
        f'<line x1="{(x + start[0]) * WIDE:g}" y1="{(y + start[1]) * HIGH:g}" '
        f'x2="{(x + end[0]) * WIDE:g}" y2="{(y + end[1]) * HIGH:g}" stroke="currentColor" '
        f'stroke-width="{width:g}" stroke-linecap="square"/>'
    )


def _box(x: int, y: int, part: tuple[float, float, float, float], shade: float) -> str:
    left, top, wide, high = part
    return (
        f'<rect x="{(x + left) * WIDE:g}" y="{(y + top) * HIGH:g}" width="{wide * WIDE:g}" '
        f'height="{high * HIGH:g}" fill="currentColor" fill-opacity="{shade:g}"/>'
    )
