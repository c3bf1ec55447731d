"""The words results are told in, the same in every format."""

from __future__ import annotations

from walltriage.inference.finding import Interval, PathFinding, WallFinding
from walltriage.language import say

VERDICT_WORDS = {
    "likely_bearing": "LIKELY BEARING",
    "likely_non_bearing": "LIKELY NON-BEARING",
    "cannot_tell": "CANNOT TELL WITHOUT OPENING UP",
}
VERDICT_MEANING = {
    "likely_bearing": "Something probably rests on this wall. It must not be cut or taken "
    "out before a licensed engineer has designed what carries the load instead.",
    "likely_non_bearing": "Nothing that was checked rests on this wall. This is a screening "
    "result, not permission: have it confirmed on site before any cut, and follow the cautions.",
    "cannot_tell": "What is known does not settle it. Treat the wall as bearing until "
    "someone has looked where it says below.",
}
TELLING_DB = -3.0  # an answer from here on is told as what ruled a path out
STATUS_WORDS = {"established": "bears", "ruled_out": "ruled out", "open": "open"}
LEANING_WORDS = {"bearing": "bearing", "non_bearing": "non-bearing", "none": "neither way"}
EFFORT_WORDS = (
    "seen from the room",
    "a tape measure or a look upstairs",
    "attic, crawl space or basement",
    "taking off a cover or fixture, power off",
    "a small inspection hole, after the cautions",
)
LIMITS_SENTENCE = (
    "This comes from a model fed with what was reported; nobody has measured how often it is "
    "wrong on real houses. It does not replace a licensed engineer's visit, a permit, or "
    "local code, and it is not a construction document."
)
LEVEL_WORDS = {
    "none": "No referral",
    "advised": "Engineer advised",
    "strong": "Engineer needed",
    "urgent": "Engineer needed now",
}


def in_hundred(chance: float) -> str:
    """A chance as walls out of a hundred, or out of a thousand or ten thousand when small."""
    if chance >= 0.995:
        return say("more than 99 in 100")
    if chance >= 0.01:
        return say("{chance} in 100", chance=round(chance * 100))
    if chance >= 0.001:
        return say("{chance} in 1,000", chance=round(chance * 1000))
    if chance >= 0.0001:
        return say("{chance} in 10,000", chance=round(chance * 10_000))
    return say("fewer than 1 in 10,000")


def interval_words(interval: Interval) -> str:
    """The two bounds of a chance as one phrase."""
    low, high = (in_hundred(bound) for bound in interval)
    if low == high:
        return high if high.startswith(("more", "fewer")) else say("about {high}", high=high)
    if interval[0] >= 0.985:  # both would read as 99 in 100
        return say("at least {low}", low=low)
    return say("between {low} and {high}", low=low, high=high)


def chance_sentence(wall: WallFinding) -> str:
    """The interval in plain numbers."""
    return say(
        "Our model: of walls with these answers, {probability} carry something.",
        probability=interval_words(wall.probability),
    )


def leaning_words(wall: WallFinding) -> str:
    """Which way an open wall leans, in two words; a dash for one with a verdict."""
    if wall.leaning is None:
        return "—"
    toward = say(LEANING_WORDS[wall.leaning.toward])
    return f"{toward} ({in_hundred(wall.leaning.chance)})"


def status_words(path: PathFinding) -> str:
    """A path's status; bracing is spoken of apart because it is no weight."""
    if not path.bears and path.status == "established":
        return say("braces")
    return say(STATUS_WORDS[path.status])


def capitalized(text: str) -> str:
    """With its first letter large, and all others as they are."""
    return text[:1].upper() + text[1:]


def uncapitalized(text: str) -> str:
    """A sentence as a part of another one."""
    return text[:1].lower() + text[1:]


def settled_by(path: PathFinding) -> str:
    """What settled a path, or what would."""
    if path.status == "open":
        return say("would be settled by {look}", look=uncapitalized(path.settled_by))
    if path.status == "ruled_out":
        # what somebody saw is a better reason than what is usual, where anything was seen
        seen = [item for item in path.evidence if item.kind == "clue"]
        telling = [item for item in seen if (item.decibans or 0.0) <= TELLING_DB]
        return min(telling or path.evidence, key=lambda item: item.decibans or 0.0).text
    return path.evidence[0].text
