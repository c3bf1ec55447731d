"""The result at any moment of an interview, in a few lines."""

from __future__ import annotations

from collections.abc import Iterator

from walltriage.case.model import Case
from walltriage.inference.finding import NextCheck, WallFinding
from walltriage.language import say
from walltriage.report import words as told

MOST_WAYS = 3


def so_far(wall: WallFinding, case: Case) -> Iterator[tuple[str, str]]:
    """Lines (text, style): verdict, leaning, what it hangs on, and the one look that would change
    most.  Only what was asked is told of."""
    verdict = say(told.VERDICT_WORDS[wall.verdict])
    yield say("So far, for {name}: {verdict}", name=wall.name or wall.id, verdict=verdict), "bold"
    yield say(told.VERDICT_MEANING[wall.verdict]), ""
    if wall.leaning is not None:
        yield f"{say(wall.leaning.text)} {say(wall.leaning.work)}", ""
    ways = [path for path in wall.load_paths if path.bears and path.status != "ruled_out"]
    ways.sort(key=lambda path: -path.probability[1])
    if ways:
        named = "; ".join(say(path.title).lower() for path in ways[:MOST_WAYS])
        yield say("It hangs on: {ways}.", ways=named), ""
    if wall.next_checks:
        yield _look(wall.next_checks[0], case, wall.id), ""
    yield f"{say(told.LEVEL_WORDS[wall.referral.level])}: {say(wall.referral.text)}", ""


def _look(check: NextCheck, case: Case, wall_id: str) -> str:
    """The look that comes first; how to do it where it was asked before and not known."""
    tried = case.answers_for(wall_id).get(check.question)
    where, look = say(told.EFFORT_WORDS[check.effort]), say(check.look)
    if tried is not None and not tried.is_real:
        return say(
            "The look that would help most, not known so far ({where}): {look}",
            where=where, look=look,
        )  # fmt: skip
    asked = f"{say(check.ask)} {look}"
    return say("The look that would help most ({where}): {look}", where=where, look=asked)
