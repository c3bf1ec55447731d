"""A question of the rules asked by itself, out of turn: its page, and what comes in from it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from starlette.responses import Response

from walltriage.case.answers import AnswerError
from walltriage.case.model import Step
from walltriage.desk.houses import look_at
from walltriage.desk.intake import FormReply
from walltriage.desk.tables import HouseRecord
from walltriage.desk.web.client_link import base, next_place, photos_of, said_of
from walltriage.desk.web.look_page import LookPage
from walltriage.desk.web.photo_taking import take_photo
from walltriage.desk.web.visit import Visit, see_other
from walltriage.interview import words
from walltriage.interview.session import Session
from walltriage.language import say


@dataclass(frozen=True, slots=True)
class OneQuestion:
    """What is asked, how its page looks, and what is done with the answer."""

    step: Step
    action: str
    page: Callable[[Session], LookPage]
    take: Callable[[FormReply], object]
    asked_words: str = ""
    back_to: str = ""


def one_question(visit: Visit, house: HouseRecord, asked: OneQuestion) -> Response:
    """Show it, or take the answer and go on."""
    step, trouble, done = asked.step, "", ""
    said: FormReply | None = None
    if visit.request.method == "POST":
        said = said_of(visit)
        trouble = take_photo(visit, house, step, need=visit.form.get("do") == "photo")
        if visit.form.get("do") == "photo":
            done = "" if trouble else say("The photo is saved.")
        elif said.value in ("", "typed"):
            trouble = say("Nothing is picked or typed yet.")
        else:
            try:
                asked.take(said)
            except AnswerError as error:
                trouble = words.plainly(error, step.question)
            else:
                if not trouble:
                    return see_other(next_place(visit, house.id))
                trouble = say("Your answer is saved, the photo is not. {trouble}", trouble=trouble)
    with look_at(visit.desk.bench, house) as session:
        page = asked.page(session)
    return visit.page(
        "client_look.html", 400 if trouble else 200, house=house, base=base(visit),
        look=page, action=asked.action, said=said or page.before, trouble=trouble, done=done,
        asked_words=asked.asked_words, moved=False, may_draw=False, back_to=asked.back_to,
        photos=photos_of(visit, house, step),
    )  # fmt: skip
