"""The interview's own words, in one place so that they stay plain and alike."""

from __future__ import annotations

from walltriage.case.answers import AnswerError
from walltriage.case.model import Role, Sureness

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
    "buyer": "I am thinking of buying, or it is my own house",
    "trade": "I am pricing or planning a job there",
    "firm": "I take this in for an engineer",
}
REACH = (
    "I stay in the rooms",
    "I have a tape, or can look at the next floor",
    "I can get into the attic, crawl space or basement",
    "I can also take off a vent cover or light, power off",
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
DONT_KNOW = "I don't know"
CANT_REACH = "I can't get there"
STOPPED = {
    "verdict": "That is enough to judge this wall.",
    "scope": "This kind of building cannot be judged by questions like these.",
    "length": "That is as many questions as one wall is worth. What is still open comes next.",
    "futile": "No other question I could ask today would change the result.",
    "exhausted": "There is nothing left to ask today.",
}
FOR_NUMBERS = "The wall can be judged already; this is for the sizes in the result."
INTRO = (
    "Does something stand on this wall? I ask about what you can see, one thing at a time. "
    "Type a number or a letter, then Enter. Stop when you like; each answer is kept. "
    "This is no engineer's judgment and no permit."
)


def more_here(count: int, far: bool) -> str:
    """Progress in words: how much is left before one has to move on."""
    if count > 0:
        return f"Up to {count} more question{'s' * (count > 1)} here."
    return "The last question here for now." if far else ""


# How many questions still came, in the middle, where so many were worth asking at most: 50
# interviews of careful and usual simulated people, tuning seed 1701.  Answers make most others
# idle, so far fewer come than are worth asking.
_STILL_COME = ((4, 2), (8, 5), (16, 10))
_MANY_COME, _WHILE_FIRST = 15, 20


def about_left(worth: int | None, for_numbers: bool) -> str:
    """How much is left of one wall, roughly; ``worth`` as the planner counts it."""
    if for_numbers:
        return f"{worth} left"
    if worth is None:
        return f"about {_WHILE_FIRST} left"
    few = next((come for under, come in _STILL_COME if worth < under), _MANY_COME)
    return f"about {few} left"


def plainly(error: AnswerError, question: str) -> str:
    """A mistake without the question's id, which the person has never seen."""
    what = error.what.removeprefix(f"'{question}': ")
    return f"{what[:1].upper()}{what[1:]}; {error.expected}."
