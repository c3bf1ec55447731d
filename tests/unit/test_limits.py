"""The limits told in the documents are those that the readers keep."""

from __future__ import annotations

import re
from pathlib import Path

from walltriage.bulk.csv import MOST_CELL
from walltriage.case.forms import MOST_ITEMS
from walltriage.errors import MOST_TOLD
from walltriage.files import MOST_BYTES
from walltriage.units import MOST_LETTERS
from walltriage.yamltree import MOST_DEPTH, MOST_DIGITS, MOST_NODES

PAGE = Path(__file__).resolve().parents[2] / "docs" / "case-files.md"
ROW = re.compile(r"^\| ([a-z ]+?)(?: \([^)]*\))? \| ([\d,]+)(?:,| \|)", re.MULTILINE)


def test_limits_are_told_as_they_are():
    _, limits = PAGE.read_text(encoding="utf-8").split("## Limits\n")
    told = {what: int(most.replace(",", "")) for what, most in ROW.findall(limits)}
    assert told == {
        "bytes": MOST_BYTES,
        "entries": MOST_NODES,
        "levels of nesting": MOST_DEPTH,
        "digits of a number": MOST_DIGITS,
        "letters of a length": MOST_LETTERS,
        "things of one kind on a plan": MOST_ITEMS,
        "letters of one cell of a table": MOST_CELL,
        "messages about it": MOST_TOLD,
    }
