"""The interview's own words, in one place so that they stay plain and alike."""

from __future__ import annotations

from walltriage.case.answers import AnswerError
from walltriage.case.model import Role, Sureness
from walltriage.language import say_count

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
    "Type a number or a letter, then Enter. Stop any time; each answer is saved. "
    "This is not an engineer's opinion and not a permit."
)


def more_here(count: int, far: bool) -> str:
    """Progress in words: how much is left before the person has to move on."""
    if count > 0:
        return say_count(
            "Up to {count} more question here.", "Up to {count} more questions here.", count
        )
    return "The last question here for now." if far else ""


# How many questions still came, in the middle, where so many were likely at most; chosen on 98
# simulated interviews of seed 1701 and tried on the demo houses (tests/desk/test_left.py).
_STILL_COME = ((4, 2), (8, 5), (24, 10))
_MANY_COME, _OF_SIZES = 15, 3
_FIRST_MANY, _WHILE_FIRST = 8, (15, 20)


def about_left(likely: int, for_numbers: bool, first: bool) -> str:
    """How much is left of one wall, roughly, this question included, of ``likely`` more."""
    few = next((come for under, come in _STILL_COME if likely + 1 < under), _MANY_COME)
    if first:  # what comes after is not counted yet
        few = _WHILE_FIRST[likely + 1 >= _FIRST_MANY]
    return f"about {_OF_SIZES if for_numbers else few} left"


def plainly(error: AnswerError, question: str) -> str:
    """A mistake without the question's id, which the person has never seen."""
    what = error.what.removeprefix(f"'{question}': ")
    return f"{what[:1].upper()}{what[1:]}; {error.expected}."
