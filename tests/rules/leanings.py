"""Which way every clue leans, and how each base rate is worded, read off the rules.

``tests/rules/kept/clue_leanings.yaml`` keeps the first for a framer to read: every answer with the
states of its condition in which it is met most often.  A row put in the wrong place, two answers
exchanged or a look taken for hearsay changes a line there.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml

from tests.conftest import read_yaml
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema import BaseRate, Clue

KEPT = Path(__file__).parent / "kept" / "clue_leanings.yaml"
HEADING = """\
# Which way each clue leans: with every answer, the states of the condition in which it is met most
# often.  "*" marks a look at the load path itself.  Each line has to be true of a house.
# A wrong line is mended in rules/load_paths; then: python -m tests.rules.leanings
"""
LEAST_SAID = 0.3  # of the high end that the words tell: "fewer than 1 in 1,000" may be 3 in 10,000
_N = r"([\d.,]*\d)"
_OF_SO_MANY = re.compile(rf"^Of {_N} .*?(?:up to |{_N} to ){_N}\b")
_SO_MANY_OF = re.compile(rf"(?:{_N}(?: (?:in|of) {_N})? to )?{_N} (?:in|of) {_N}")
_ANYTHING = re.compile("anything is possible")


def leanings(base: KnowledgeBase) -> dict[str, dict[str, dict[str, str]]]:
    """By path, condition and clue: its answers with the states in which each is likeliest."""
    found: dict[str, dict[str, Any]] = {}
    for name, path in base.paths.items():
        for clue in path.entry.clues:
            mark = "*" if clue.direct else ""
            lines = found.setdefault(name, {}).setdefault(clue.condition, {})
            lines[clue.id + mark] = "; ".join(_told(clue))
    return found


def _told(clue: Clue) -> Iterator[str]:
    for answer in next(iter(clue.shows.values())):
        most = max(row[answer] for row in clue.shows.values())
        others = [state for state, row in clue.shows.items() if row[answer] < most]
        states = [state for state in clue.shows if state not in others]
        if not others:
            yield f"{answer} -> any"
        elif len(others) < len(states):
            yield f"{answer} -> all but {', '.join(others)}"
        else:
            yield f"{answer} -> {', '.join(states)}"


def kept_leanings(kept: Path = KEPT) -> dict[str, dict[str, dict[str, str]]]:
    """What is kept of the shipped rules."""
    read: dict[str, dict[str, dict[str, str]]] = read_yaml(kept)
    return read


def rates_worded_otherwise(base: KnowledgeBase) -> list[str]:
    """Base rates whose high end is not the one that their own words tell."""
    return [rate.id for _, rate in base.base_rates() if not _as_worded(rate)]


def _as_worded(rate: BaseRate) -> bool:
    low, high = _worded(rate.says)
    right_low = low is None or abs(low - rate.in_100[0]) < 1e-9
    return right_low and LEAST_SAID * high <= rate.in_100[1] <= high + 1e-9


def _worded(says: str) -> tuple[float | None, float]:
    """The ends of a range in 100, as the words tell them; no low end when they tell none."""
    if found := _OF_SO_MANY.search(says):
        of, low, high = (_number(text) for text in found.groups())
        low_of = of
    elif found := _SO_MANY_OF.search(says):
        low, low_of, high, of = (_number(text) for text in found.groups())
    else:
        return None, 100.0 if _ANYTHING.search(says) else 0.0
    assert high
    assert of
    return (None if low is None else 100 * low / (low_of or of)), 100 * high / of


def _number(text: str | None) -> float | None:
    return float(text.replace(",", "")) if text else None


if __name__ == "__main__":
    from walltriage.knowledge.load import load_knowledge
    from walltriage.rules_folder import default_rules_folder

    written = yaml.safe_dump(
        leanings(load_knowledge(default_rules_folder())), sort_keys=False, width=100
    )
    KEPT.write_text(HEADING + written, encoding="utf-8")
