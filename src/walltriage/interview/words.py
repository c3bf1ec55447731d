"""The interview's own words, in one place so that they stay plain and alike."""

from __future__ import annotations

from typing import TYPE_CHECKING

from walltriage.case.answers import AnswerError
from walltriage.case.model import Role, Sureness
from walltriage.language import say
from walltriage.report.words import capitalized

if TYPE_CHECKING:
    from walltriage.interview.left import Left

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
    "confirmed": "looked at twice",
    "certain": "certain",
    "fairly": "fairly sure",
    "guess": "a guess",
}
HELP = (
    "Type one of the numbers or letters shown, then Enter. b goes a page back and loses nothing, q "
    "stops here and keeps all. Where words are asked for, put / before a letter (/b), and quotes "
    'round a word that is one of the letters ("h").'
)
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
BACK_TO = {
    "rooms": "Back to the rooms: {why}",
    "upstairs": "Up to the next floor again: {why}",
    "attic": "Up to the attic again: {why}",
    "below": "Down again: {why}",
    "opened": "To the opening again: {why}",
}
WHY_BACK = {
    "worth": "what you saw since makes this look worth it.",
    "must": "this comes before the result, whatever it is.",
    "named": "you said that there is something; now it needs its name.",
    "sought": "so far nothing speaks for a load, and before I say so this has to be looked for.",
    "numbers": "this is for the sizes in the result.",
    "tape": "a measured span may decide what nothing else did.",
    "trouble": "before we end, whether the house is in trouble.",
}
OUT_OF_SCOPE = "Questions like these cannot clear this wall:"
WHY_ON_OUT_OF_SCOPE = (
    "I ask a little more, since it may still show that the wall bears. q stops here and keeps all."
)
FOR_NUMBERS = "I can judge the wall already; this is for the sizes in the result."
MORE = "Your last answer opened more questions."
MORE_HERE = "Your last answer opened more questions here."
SOUGHT = "So far nothing speaks for a load; the rest has to be looked for before I say so."
INTRO = (
    "Is this wall holding something up? I ask about what you can see, one thing at a time. "
    "Type a number or a letter, then Enter. Stop any time with q: you get the result so far, and "
    "each answer is saved. "
    "This is not an engineer's opinion and not a permit."
)


def left(count: Left, reason: str = "") -> str:
    """Progress in words: how much is left here, and in all; why that grew, where it did."""
    if not count.in_all:
        return say("The last question for now.")
    told = say(
        "About {here} left in this place, {in_all} in all.", here=count.here, in_all=count.in_all
    ) if count.here else say("About {in_all} left in all.", in_all=count.in_all)  # fmt: skip
    if count.grew:
        return f"{say(SOUGHT if reason == 'sought' else MORE)} {told}"
    return f"{say(MORE_HERE)} {told}" if count.grew_here else told


def back_to(place: str, reason: str) -> str:
    """Why somebody is sent where they have been."""
    return say(BACK_TO[place], why=say(WHY_BACK.get(reason, WHY_BACK["worth"])))


def plainly(error: AnswerError, question: str) -> str:
    """A mistake without the question's id, which the person has never seen."""
    what = error.what.removeprefix(f"'{question}': ")
    return f"{capitalized(what)}; {error.expected}."
