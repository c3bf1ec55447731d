"""What was said on a page of several things, told by its answers when the page comes again."""

from __future__ import annotations

from dataclasses import replace

from walltriage.case.model import UNKNOWN, Answer
from walltriage.inference.looks.glance import Asked, Picked, picked_by, word_for_all
from walltriage.interview import words
from walltriage.interview.given import TakenBack
from walltriage.knowledge.glances import ONE_OR_MORE
from walltriage.language import say


def told_again(page: Asked, back: TakenBack) -> tuple[str, Picked]:
    """What was said of the whole page ("unknown", "out_of_reach"; else ""), and what was picked."""
    answers = {item.step.question: item.answer for item in back.given}
    named = {step.question for step in back.to_name}  # picked, and asked about later

    def answer(name: str) -> Answer:
        return answers.get(name, Answer(ONE_OR_MORE if name in named else UNKNOWN))

    word = word_for_all(page, answer)
    if word:
        return word, Picked()
    picked = picked_by(page, answer)
    # what was left out, and never asked about since, is nothing that one could not tell of
    doubtful = {name for name, given in answers.items() if not given.is_real}
    return "", replace(
        picked, unsure=frozenset(at for at in picked.unsure if doubtful & {*page.items[at].told})
    )


def said_again(page: Asked, back: TakenBack) -> str:
    """The same in the words of the page.

    Of a list one could not tell of, the answers do not say which of its things that was.
    """
    word, picked = told_again(page, back)
    if word:
        return say(words.DONT_KNOW if word == UNKNOWN else words.CANT_REACH)
    seen = [say(page.items[at].says) for at in sorted(picked.seen)]
    unsure = [say("of some I can't tell")] if picked.unsure else []
    return "; ".join([*seen, *unsure]) or say(page.glance.none)
