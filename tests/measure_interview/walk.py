"""How long interviews are, how often they send people elsewhere, and what they still recognize."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tests.measure_interview.people import Asked, all_told
from walltriage.inference.columns.evaluator import VERDICTS
from walltriage.inference.looks.column_planner import STOPS
from walltriage.knowledge.base import KnowledgeBase
from walltriage.lab.interviews import Held, Interviewer

OPEN, BEARING, CLEAR = (
    VERDICTS.index(name) for name in ("cannot_tell", "likely_bearing", "likely_non_bearing")
)
NOWHERE = frozenset({"desk", "none"})  # what one knows is asked wherever one stands


@dataclass(frozen=True, slots=True)
class Group:
    """Walls of one sort: how many all answers recognize, how many of those the interview does,
    the questions it took, in the median, and how many interviews recognize in all."""

    name: str
    by_all: int
    kept: int
    questions: float
    recognized: int


@dataclass(frozen=True, slots=True)
class Walk:
    """What interviews were like; ``moves`` with medians over all, and the share above six.

    ``headings`` also counts what is asked from a chair as a place of its own; ``missed`` of the
    walls that bear (``bears``) were called non-bearing.
    """

    interviews: int
    moves: float
    headings: float
    twice: float
    asked: float
    missed: int
    bears: int
    stops: dict[str, int]
    groups: tuple[Group, ...]


def moves(places: Sequence[str]) -> int:
    """How often somebody is sent from one place to another, the first way not counted."""
    gone = [place for place in places if place not in NOWHERE]
    return sum(one != other for one, other in itertools.pairwise(gone))


def back_again(places: Sequence[str]) -> bool:
    """Whether somebody is sent to a place a second time."""
    gone = [place for place in places if place not in NOWHERE]
    runs = [p for i, p in enumerate(gone) if i == 0 or gone[i - 1] != p]
    return len(runs) > len(set(runs))


def places_of(base: KnowledgeBase, held: Held, row: int) -> list[str]:
    """The places of the questions of one interview, in order."""
    questions = list(base.questions.values())
    return [questions[column].place for column in held.asked[row] if column >= 0]


def walk(interviewer: Interviewer, walls: list[Asked], first: int) -> tuple[Walk, Held]:
    """Interviews about all ``walls``; places are told of the ``first`` of them."""
    evaluator = interviewer.evaluator
    held = interviewer.interviews(
        [wall.person for wall in walls], "planner", np.random.default_rng(0)
    )
    asked = evaluator.evaluate(held.batch).verdict
    everything = evaluator.evaluate(all_told(evaluator, walls)).verdict
    counted = held.counted.sum(axis=1)
    gone = [places_of(interviewer.base, held, row) for row in range(min(first, len(walls)))]
    headings = [sum(a != b for a, b in itertools.pairwise(p)) for p in gone]
    stops = {name or "none": int((held.stop == i).sum()) for i, name in enumerate(STOPS)}
    bears = np.array([wall.bears for wall in walls])
    told = Walk(
        len(walls), float(np.median([moves(p) for p in gone])), float(np.median(headings)),
        float(np.mean([back_again(p) for p in gone])), float(np.median(counted)),
        int((bears & (asked == CLEAR)).sum()), int(bears.sum()), stops,
        groups_of(walls, everything, asked, counted),
    )  # fmt: skip
    return told, held


def groups_of(
    walls: Sequence[Asked], everything: np.ndarray, asked: np.ndarray, counted: np.ndarray
) -> tuple[Group, ...]:
    """What the verdicts of interviews, ``asked`` (n,), keep of those that all answers give,
    ``everything``, with the questions they took, ``counted``."""
    bears = np.array([wall.bears for wall in walls])
    trussed = np.array([wall.over == "trusses" for wall in walls])
    groups = []
    for name, which, verdict in (
        ("bearing", bears, BEARING),
        ("non-bearing under trusses", ~bears & trussed, CLEAR),
        ("non-bearing, stick-framed", ~bears & ~trussed, CLEAR),
    ):
        by_all, now = which & (everything == verdict), which & (asked == verdict)
        middle = float(np.median(counted[now])) if now.any() else float("nan")
        kept = int((by_all & now).sum())
        groups.append(Group(name, int(by_all.sum()), kept, middle, int(now.sum())))
    return tuple(groups)
