"""How well verdicts, leanings and chances agree with what is known of a wall."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from walltriage.inference.finding import WallFinding

VERDICT = {"bears": "likely_bearing", "does_not_bear": "likely_non_bearing"}
OPPOSITE = {"bears": "likely_non_bearing", "does_not_bear": "likely_bearing"}


def point_estimate(wall: WallFinding) -> float:
    """One chance for the interval: the finding's own, between its bounds."""
    return wall.middle


def leaning(wall: WallFinding) -> str:
    """Which way a wall leans that is not decided: ``bears``, ``does_not_bear`` or ``neither``."""
    toward = {"bearing": "bears", "non_bearing": "does_not_bear", "none": "neither"}
    return "neither" if wall.leaning is None else toward[wall.leaning.toward]


def area_under_curve(bearing: Sequence[float], idle: Sequence[float]) -> float:
    """Share of pairs of a bearing and an idle wall in which the bearing one has the greater chance.

    Ties count half.  0.5 is no better than drawing lots.

    Raises:
        ValueError: one of the two kinds is missing.
    """
    if not bearing or not idle:
        raise ValueError("both kinds of wall are needed")
    won = sum((yes > no) + (yes == no) / 2 for yes in bearing for no in idle)
    return won / (len(bearing) * len(idle))


@dataclass(frozen=True, slots=True)
class Score:
    """Counts over walls of which it is known whether they carry."""

    walls: int
    verdict_right: int
    verdict_wrong: int
    with_leaning_right: int
    area: float


def score(known: Iterable[tuple[str, WallFinding]]) -> Score:
    """Compare findings with what is known: ``bears`` or ``does_not_bear`` beside each."""
    pairs = list(known)
    decided = [(answer, wall) for answer, wall in pairs if wall.verdict != "cannot_tell"]
    undecided = [(answer, wall) for answer, wall in pairs if wall.verdict == "cannot_tell"]
    right = sum(VERDICT[answer] == wall.verdict for answer, wall in decided)
    chances: dict[str, list[float]] = {"bears": [], "does_not_bear": []}
    for answer, wall in pairs:
        chances[answer].append(point_estimate(wall))
    return Score(
        walls=len(pairs),
        verdict_right=right,
        verdict_wrong=len(decided) - right,
        with_leaning_right=right + sum(leaning(wall) == answer for answer, wall in undecided),
        area=area_under_curve(chances["bears"], chances["does_not_bear"]),
    )
