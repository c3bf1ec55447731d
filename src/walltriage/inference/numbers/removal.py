"""What came out for a set of walls, and which sets can be asked about."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from walltriage.case.model import Case
from walltriage.errors import InputError, Problem, did_you_mean
from walltriage.inference.numbers.results import RemovalNumbers
from walltriage.knowledge.schema import Verdict

Together = Literal["carries", "open", "not_together", "non_bearing_together"]


@dataclass(frozen=True, slots=True)
class Removal:
    """What came out for a set of walls: ``together`` in a word, ``reasons`` why no clearer.

    ``alone`` and ``others_gone`` are the verdicts by wall, ``names`` what people call each.
    """

    walls: tuple[str, ...]
    names: Mapping[str, str]
    together: Together
    alone: Mapping[str, Verdict]
    others_gone: Mapping[str, Verdict]
    reasons: tuple[str, ...]
    numbers: RemovalNumbers


def check_removed(case: Case, walls: Iterable[str], path: str) -> tuple[str, ...]:
    """The walls to take out, each once; :class:`InputError` for one that does not exist."""
    known, problems = [wall.id for wall in case.walls], []
    removed = tuple(dict.fromkeys(walls))
    for wall in removed:
        if wall not in known:
            what = f"no wall '{wall}' to take out{did_you_mean(wall, known)}"
            problems.append(Problem.about(path, what, "walls of this case: " + ", ".join(known)))
    if not removed:
        expected = "expected wall ids, such as w2,w4"
        problems.append(Problem.about(path, "no wall to take out", expected))
    if problems:
        raise InputError(problems)
    return removed
