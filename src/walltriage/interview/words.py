"""The interview's own words, in one place so that they stay plain and alike."""

from __future__ import annotations

from typing import TYPE_CHECKING

from walltriage.case.answers import AnswerError
from walltriage.case.model import Role, Sureness
from walltriage.language import say

if TYPE_CHECKING:
    from walltriage.interview.session import Left

PLACES = {
    "desk": "What you know",
    "rooms": "In the rooms",
    "upstairs": "One floor up",
    "attic": "In the attic",
    "below": "One floor down",
    "opened": "Inside the wall",
    "none": "What you know",
}
PLACE_NAMES = {
    "upstairs": "the floor above",
    "attic": "the attic",
    "below": "the floor below",
    "opened": "the inside of the wall",
}
ROLES: dict[Role, str] = {
    "buyer": "I'm thinking of buying it, or it is my house",
    "trade": "I'm pricing or planning a job there",
    "firm": "I'm doing the intake for an engineer",
}
REACH = (
    "I stay in the rooms",
    "I have a tape measure, or can look on the next floor",
    "I can get into the attic, crawl space or basement",
    "I can also take down a vent cover or a light, with the power off",
    "I can also open a small hole in the wall or ceiling",
)
SURENESS: dict[Sureness, str] = {
    "certain": "Certain: I saw it or know it",
    "fairly": "Fairly sure",
    "guess": "It is a guess",
}
SURE_SHORT: dict[Sureness, str] = {
    "certain": "certain",
    "fairly": "fairly sure",
    "guess": "a guess",
}
SEVERAL = "Type the numbers of all you see (2 5), with ? where you can't tell (4?); else 0."
DONT_KNOW = "I don't know"
CANT_REACH = "I can't get there"
STOPPED = {
    "verdict": "That is enough to judge this wall.",
    "scope": "This kind of building cannot be judged by questions like these.",
    "length": "That is enough questions for one wall. What is still open comes next.",
    "futile": "No other question I could ask today would change the result.",
    "exhausted": "There is nothing left to ask today.",
}
FOR_NUMBERS = "I can judge the wall already; this is for the sizes in the result."
INTRO = (
    "Is this wall holding something up? I ask about what you can see, one thing at a time. "
    "Type a number or a letter, then Enter. Stop any time with q: you get the result so far, and "
    "each answer is saved. "
    "This is not an engineer's opinion and not a permit."
)


def left(count: Left) -> str:
    """Progress in words: how much is left here, and in all."""
    if not count.in_all:
        return say("The last question for now.")
    told = say(
        "About {here} left in this place, {in_all} in all.", here=count.here, in_all=count.in_all
    )
    return f"{say('Your last answer opened more questions.')} {told}" if count.grew else told


def about_left(in_all: int, for_numbers: bool) -> str:
    """How much is left of one wall, roughly, this question included, of ``in_all`` more."""
    return f"{in_all + 1} left" if for_numbers else f"about {in_all + 1} left"


def plainly(error: AnswerError, question: str) -> str:
    """A mistake without the question's id, which the person has never seen."""
    what = error.what.removeprefix(f"'{question}': ")
    return f"{what[:1].upper()}{what[1:]}; {error.expected}."
