"""The result at any moment of an interview, in a few lines."""

from __future__ import annotations

from collections.abc import Iterator

from walltriage.case.model import Case
from walltriage.inference.finding import NextCheck, WallFinding
from walltriage.report import words as told

MOST_WAYS = 3


def so_far(wall: WallFinding, case: Case) -> Iterator[tuple[str, str]]:
    """Lines (text, style): verdict, leaning, what it hangs on, and the one look that would change
    most.  Only what was asked is told of."""
    yield f"So far, for {wall.name or wall.id}: {told.VERDICT_WORDS[wall.verdict]}", "bold"
    yield told.VERDICT_MEANING[wall.verdict], ""
    if wall.leaning is not None:
        yield f"{wall.leaning.text} {wall.leaning.work}", ""
    ways = [path for path in wall.load_paths if path.bears and path.status != "ruled_out"]
    ways.sort(key=lambda path: -path.probability[1])
    if ways:
        named = "; ".join(path.title.lower() for path in ways[:MOST_WAYS])
        more = len(ways) - MOST_WAYS
        yield f"It hangs on: {named}" + (f"; and {more} more." if more > 0 else "."), ""
    if wall.next_checks:
        yield _look(wall.next_checks[0], case, wall.id), ""
    yield told.LEVEL_WORDS[wall.referral.level] + ": " + wall.referral.text, ""


def _look(check: NextCheck, case: Case, wall_id: str) -> str:
    """The look that comes first; how to do it where it was asked before and not known."""
    tried = case.answers_for(wall_id).get(check.question)
    where = told.EFFORT_WORDS[check.effort]
    if tried is not None and not tried.is_real:
        return f"The look that would help most, though not known so far ({where}): {check.look}"
    return f"The look that would help most ({where}): {check.ask} {check.look}"
