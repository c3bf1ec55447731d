"""Plain SVG charts of a study; nothing but shapes and text."""

from __future__ import annotations

import math
from typing import Any
from xml.sax.saxutils import escape

WIDTH, ROW, LEFT = 760, 17, 230
COLOURS = {"likely_non_bearing": "#4a8f5c", "cannot_tell": "#b8b8b8", "likely_bearing": "#b5502f"}
_HEAD = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="{w}" height="{h}" viewBox="0 0 {w} {h}" '
    'font-family="sans-serif" font-size="11">\n<rect width="{w}" height="{h}" fill="white"/>\n'
)


def verdict_chart(archetypes: dict[str, dict[str, Any]], note: str) -> str:
    """Verdicts by kind of house: bearing walls above, others below, in each row."""
    names = sorted(archetypes)
    height = 70 + 2 * ROW * len(names)
    parts = [_HEAD.format(w=WIDTH, h=height), _text(10, 18, "Verdicts by kind of house", 14)]
    x = LEFT
    for verdict, colour in COLOURS.items():
        parts.append(f'<rect x="{x}" y="28" width="11" height="11" fill="{colour}"/>\n')
        parts.append(_text(x + 15, 38, verdict.replace("_", " ")))
        x += 150
    for row, name in enumerate(names):
        for side, truth in enumerate(("bears", "does_not")):
            y = 48 + (2 * row + side) * ROW
            table = archetypes[name]["truth_by_verdict"][truth]
            word = "bears" if truth == "bears" else "does not"
            label = f"{name.replace('_', ' ')}: {word}" if not side else word
            parts.append(_text(LEFT - 6, y + 12, label, anchor="end"))
            parts.extend(_bar(table, y))
    parts.append(_text(10, height - 8, note, 9))
    return "".join(parts) + "</svg>\n"


def _bar(table: dict[str, int], y: int) -> list[str]:
    whole = sum(table.values())
    parts, x = [], float(LEFT)
    room = WIDTH - LEFT - 60
    for verdict, colour in COLOURS.items():
        wide = room * table[verdict] / whole if whole else 0
        parts.append(
            f'<rect x="{x:.1f}" y="{y}" width="{wide:.1f}" height="{ROW - 4}" fill="{colour}"/>\n'
        )
        x += wide
    parts.append(_text(LEFT + room + 5, y + 11, str(whole), 9))
    return parts


def calibration_chart(curve: list[dict[str, Any]], note: str) -> str:
    """What was stated against what was so, both on the log-odds scale (decibans)."""
    size, edge = 420, 50
    parts = [_HEAD.format(w=size + 2 * edge, h=size + 2 * edge)]

    def place(db: float) -> float:
        return edge + size * (min(max(db, -45.0), 25.0) + 45) / 70

    def up(db: float) -> float:
        return size + 2 * edge - place(db)

    for db in range(-40, 21, 10):
        chance = 1 / (1 + 10 ** (-db / 10))
        parts.append(
            f'<line x1="{place(db):.1f}" y1="{edge}" x2="{place(db):.1f}" y2="{size + edge}" '
            f'stroke="#ddd"/>\n<line x1="{edge}" y1="{up(db):.1f}" x2="{size + edge}" '
            f'y2="{up(db):.1f}" stroke="#ddd"/>\n'
        )
        parts.append(_text(place(db), size + edge + 14, f"{chance:.2%}", 9, "middle"))
        parts.append(_text(edge - 4, up(db) + 3, f"{chance:.2%}", 9, "end"))
    parts.append(
        f'<line x1="{place(-45):.1f}" y1="{up(-45):.1f}" x2="{place(25):.1f}" y2="{up(25):.1f}" '
        'stroke="#888" stroke-dasharray="4 3"/>\n'
    )
    for found in curve:
        bore = min(max(found["bore"], 0.5 / found["walls"]), 1 - 0.5 / found["walls"])
        x, y = _db(found["stated"]), _db(bore)
        radius = 2 + 1.2 * math.log10(found["walls"])
        parts.append(
            f'<circle cx="{place(x):.1f}" cy="{up(y):.1f}" r="{radius:.1f}" fill="#345f8f" '
            'fill-opacity="0.7"/>\n'
        )
    parts.append(_text(edge, 20, "Share that bore against chance stated (log-odds axes)", 13))
    parts.append(_text(10, size + 2 * edge - 8, note, 9))
    return "".join(parts) + "</svg>\n"


def _db(chance: float) -> float:
    kept = min(max(chance, 1e-6), 1 - 1e-6)
    return 10 * math.log10(kept / (1 - kept))


def _text(x: float, y: float, words: str, size: int = 11, anchor: str = "start") -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" text-anchor="{anchor}">'
        f"{escape(words)}</text>\n"
    )
