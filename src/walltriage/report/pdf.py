"""A report as a tagged PDF, laid out by typst from the document tree.

The template decides how blocks look and this module nothing: it hands the tree over as data, so
that no text in it can become layout.  The file is PDF/UA-1, for which the library refuses letters
that no font has: such letters are then looked for among the machine's fonts, and those that are
nowhere are printed as codes and named once, at the end.
"""

from __future__ import annotations

import json
import re
from dataclasses import fields, is_dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import typst

from walltriage.language import code, say
from walltriage.report.blocks import Document, Section, Sheet
from walltriage.report.drawing import PlanDrawing
from walltriage.report.svg import svg

FONTS = Path(__file__).resolve().parent / "fonts"
TEMPLATE = FONTS.parent / "templates" / "report.typ"
FONT_FAMILY = "DejaVu Sans"
LETTERS_TO_A_LINE = 165
"""Of a standing note at a page's foot."""
WIDE_FROM = 0.45
"""Drawings lower than this share of their width are drawn wider."""
_LONG_WORD = re.compile(r"[^\s\u200b]{40}(?=\S)")
_LACKING = re.compile(r"the text `(\"(?:[^\"\\]|\\.)*\")` could not be displayed")


def pdf(document: Document) -> bytes:
    """The file; the same bytes for the same document and fonts."""
    coded: frozenset[str] = frozenset()
    own_fonts_only = True
    while True:
        try:
            return _compiled(document, coded, own_fonts_only)
        except typst.TypstError as error:
            lacking = _lacking(error) - coded
            if not lacking:
                raise
            if own_fonts_only:
                own_fonts_only = False
            else:
                coded |= lacking


def _lacking(error: typst.TypstError) -> frozenset[str]:
    """The letters that no font had, by the library's own account."""
    texts = _LACKING.findall(error.diagnostic)
    return frozenset("".join(_unquoted(text) for text in texts))


def _unquoted(text: str) -> str:
    plain = re.sub(r"\\u\{([0-9a-f]+)\}", lambda match: chr(int(match[1], 16)), text[1:-1])
    return plain.replace('\\"', '"').replace("\\\\", "\\")


def _compiled(document: Document, coded: frozenset[str], own_fonts_only: bool) -> bytes:
    tree = _coded(_tree(document), coded)
    tree["missing"] = _missing_note(coded)
    made = typst.compile(
        str(TEMPLATE),
        font_paths=[str(FONTS)],
        ignore_system_fonts=own_fonts_only,
        sys_inputs={"document": json.dumps(tree)},
        pdf_standards=["ua-1"],
    )
    assert isinstance(made, bytes)
    return made


def _missing_note(coded: frozenset[str]) -> str:
    if not coded:
        return ""
    codes = ", ".join(f"U+{ord(letter):04X}" for letter in sorted(coded)[:40])
    return say(
        "Letters that no font here has are printed as codes in square brackets: {codes}.",
        codes=codes,
    )


def _coded(part: Any, coded: frozenset[str]) -> Any:
    """The same data with these letters told as their codes, and long words that can be broken."""
    if isinstance(part, str):
        text = "".join(f"[U+{ord(c):04X}]" if c in coded else c for c in part) if coded else part
        return text if part.startswith("<svg") else _LONG_WORD.sub("\\g<0>\u200b", text)
    if isinstance(part, list):
        return [_coded(item, coded) for item in part]
    if isinstance(part, dict):
        keep = part.get("kind") == "Data"
        return {key: value if keep else _coded(value, coded) for key, value in part.items()}
    return part


def _tree(document: Document) -> dict[str, Any]:
    made = datetime.fromisoformat(document.made_on)
    tree: dict[str, Any] = _plain(document)
    tree["date"] = [made.year, made.month, made.day]
    tree["made"] = say("Made on {date}.", date=document.made_on)
    tree["language"] = code()
    tree["author"] = "walltriage" if document.letterhead is None else document.letterhead.name
    for sheet, data in zip(document.sheets, tree["sheets"], strict=True):
        notes = document.notes(sheet)
        data["notes"] = list(notes)
        data["foot_lines"] = sum(len(note) // LETTERS_TO_A_LINE + 1 for note in notes)
        data["groups"] = [_plain(group) for group in _groups(sheet)]
    return tree


def _plain(part: Any) -> Any:
    if isinstance(part, PlanDrawing):
        return _drawing(part)
    if isinstance(part, tuple | list):
        return [_plain(item) for item in part]
    if isinstance(part, bytes):
        return list(part)
    if is_dataclass(part) and not isinstance(part, type):
        found = {field.name: _plain(getattr(part, field.name)) for field in fields(part)}
        if "drawing" in found:
            found |= found.pop("drawing")
        # a mark has a kind of its own, its status
        return found if "kind" in found else {"kind": type(part).__name__, **found}
    return part


def _drawing(drawing: PlanDrawing) -> dict[str, Any]:
    return {
        "svg": svg(drawing, font=say(FONT_FAMILY)), "desc": f"{drawing.title}. {drawing.desc}",
        "caption": drawing.caption, "wide": drawing.height / drawing.width < WIDE_FROM,
    }  # fmt: skip


def _groups(sheet: Sheet) -> list[list[Section]]:
    """Full sections alone, halves that follow each other together, and so thirds."""
    groups: list[list[Section]] = []
    for section in sheet.sections:
        if section.width != "full" and groups and groups[-1][0].width == section.width:
            groups[-1].append(section)
        else:
            groups.append([section])
    return groups
