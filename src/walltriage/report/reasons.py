"""Which reasons are told first, and how a weight is said; the same for every kind of report."""

from __future__ import annotations

from walltriage.inference.finding import Evidence, PathFinding, WallFinding
from walltriage.language import say

MOST_REASONS = 3
LEAST_SHOWN_DB = 1.0
"""Weaker reasons than this are given in a deeper report only."""
Reason = tuple[PathFinding, Evidence]
_STRENGTH_WORDS = ((3.0, "slightly"), (6.0, "somewhat"), (10.0, "strongly"))


def weighed(wall: WallFinding, least: float = 0.0) -> tuple[list[Reason], list[Reason]]:
    """Reasons for bearing and against it of more than ``least`` decibans, heaviest first.

    Base rates are no reasons.
    """
    reasons = [(p, e) for p in wall.load_paths for e in p.evidence if e.kind != "base_rate"]
    toward = [(p, e) for p, e in reasons if e.decibans is None or e.decibans > least]
    against = [(p, e) for p, e in reasons if e.decibans is not None and e.decibans < -least]
    for chosen in (toward, against):
        chosen.sort(key=lambda reason: -size(reason[1]))
    return toward, against


def strongest(wall: WallFinding, most: int = MOST_REASONS) -> list[Reason]:
    """The reasons that count most, either way; an answer that speaks on several paths once.

    Those that stand for what the verdict or the leaning says come first; before them, of a wall
    told bearing, the base rate that weighs more than any of them.
    """
    toward, against = weighed(wall, LEAST_SHOWN_DB)
    if wall.verdict == "likely_bearing":
        toward = _ground(wall, toward) + toward
    clears = wall.verdict == "likely_non_bearing"
    first: dict[str, Reason] = {}
    for reason in (*against, *toward) if clears else (*toward, *against):
        first.setdefault(reason[1].text, reason)
    return list(first.values())[:most]


def _ground(wall: WallFinding, toward: list[Reason]) -> list[Reason]:
    """The base rate of the likeliest path, where the wall is told bearing by it more than by
    anything that was answered."""
    path = max((p for p in wall.load_paths if p.bears), key=lambda p: p.probability[1])
    heaviest = max((size(evidence) for _, evidence in toward), default=0.0)
    return [
        (path, evidence)
        for evidence in path.evidence
        if evidence.kind == "base_rate" and (evidence.decibans or 0.0) > heaviest
    ]


def size(evidence: Evidence) -> float:
    """How heavy a reason is, either way; a decisive sign is heavier than any."""
    return 1e9 if evidence.decibans is None else abs(evidence.decibans)


def weight(evidence: Evidence) -> str:
    """The weight as a number with its unit."""
    if evidence.decibans is None:
        return say("decisive")
    return f"{evidence.decibans:+.1f} dB"


def weight_words(evidence: Evidence) -> str:
    """The weight in words."""
    if evidence.decibans is None:
        return say("decisive")
    strength = next(
        (w for most, w in _STRENGTH_WORDS if abs(evidence.decibans) < most), "very strongly"
    )
    if evidence.decibans > 0:
        return say("{how} for", how=say(strength))
    return say("{how} against", how=say(strength))
