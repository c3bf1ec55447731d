"""How the cells of a row stand in its line: as they will be written, wherever that can be told.

A line of CSV or JSON Lines needs nothing but its own cells.  Parquet is written by columns: its
rows travel in tables.  What people read as a table must know how wide its columns are: those rows
travel as cells, in JSON.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from json.encoder import encode_basestring_ascii as quoted
from typing import Literal

from walltriage.plaintext import printable

FormName = Literal["cells", "csv", "jsonl", "tables"]
_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9 _.:;/-]*")  # most texts: nothing to be done to them
_FORMULA = frozenset("=+-@＝＋－＠|%")


@dataclass(frozen=True, slots=True)
class RowForm:
    """A way to write a row: ``text`` writes a cell of words, numbers stand as Python shows them.

    ``before`` says what stands before each cell, and ``end`` what stands behind the last.
    """

    text: Callable[[str], str]
    before: tuple[str, ...]
    end: str = ""


def form_kept(output: str) -> FormName:
    """The form in which rows wait for an output of this kind."""
    kept: dict[str, FormName] = {"csv": "csv", "jsonl": "jsonl", "parquet": "tables"}
    return kept.get(output, "cells")


def form_of(name: FormName, names: tuple[str, ...]) -> RowForm:
    """The form of that name, of lines, for rows whose cells have these names."""
    if name == "csv":
        return RowForm(csv_cell, ("", *[","] * (len(names) - 1)))
    if name == "cells":
        return RowForm(quoted, ("[", *[","] * (len(names) - 1)), "]")
    heads = [f"{quoted(head)}: " for head in names]
    return RowForm(quoted, (f"{{{heads[0]}", *(f", {head}" for head in heads[1:])), "}")


def harmless(text: str) -> str:
    """A text with nothing that moves a terminal, and nothing a spreadsheet would run.

    What could begin a formula, spaces and line ends before it passed over as some programs
    do, gets an apostrophe in front.
    """
    shown = printable(text)
    return f"'{shown}" if text[:1].isspace() or shown.lstrip()[:1] in _FORMULA else shown


def csv_cell(text: str) -> str:
    """A text as a cell of CSV, made harmless, in quotation marks where it needs them."""
    if _PLAIN.fullmatch(text):
        return text
    shown = harmless(text)
    if "," in shown or '"' in shown:  # there are no ends of lines any more
        return '"' + shown.replace('"', '""') + '"'
    return shown
