"""The pages of what an engineer asks for besides: a question of the rules, or free words."""

from __future__ import annotations

from functools import partial

from starlette.responses import Response

from walltriage.case.model import Step
from walltriage.desk import intake
from walltriage.desk.events import CLIENT, note_event
from walltriage.desk.houses import look_at
from walltriage.desk.intake import MOST_NOTE
from walltriage.desk.store import now
from walltriage.desk.tables import EngineerQuestion, HouseRecord
from walltriage.desk.web import client_link as client
from walltriage.desk.web.look_page import asked_page
from walltriage.desk.web.one_question import OneQuestion, one_question
from walltriage.desk.web.photo_taking import take_photo
from walltriage.desk.web.visit import Visit, see_other
from walltriage.language import say


@client.of_link
def more(visit: Visit, house: HouseRecord) -> Response:
    """One more thing that an engineer asks for."""
    number = visit.request.path_params["asked"]
    item = next((i for i in client.asked_of(visit, house) if i.id == number), None)
    if item is None:
        return see_other(f"{client.base(visit)}?moved=1")
    return question_asked(visit, house, item) if item.question else free_words(visit, house, item)


def photo_step(item: EngineerQuestion) -> Step:
    """Under what the photos for one more thing are kept."""
    return Step(item.subject, item.question or f"asked_{item.id}")


def question_asked(visit: Visit, house: HouseRecord, item: EngineerQuestion) -> Response:
    """A question of the rules, asked out of turn."""
    step, desk = photo_step(item), visit.desk

    def take(said: intake.FormReply) -> None:
        intake.answer_out_of_turn(desk.store, desk.bench, house, step, said, item.id)

    asked = OneQuestion(
        step, f"{client.base(visit)}/more/{item.id}", partial(asked_page, step=step), take,
        asked_words=item.words,
    )  # fmt: skip
    return one_question(visit, house, asked)


def free_words(visit: Visit, house: HouseRecord, item: EngineerQuestion) -> Response:
    """Something in the engineer's words, answered in the client's, or by a photo."""
    step, trouble, done = photo_step(item), "", ""
    text = visit.text("typed", MOST_NOTE)
    if visit.request.method == "POST":
        trouble = take_photo(visit, house, step, need=visit.form.get("do") == "photo")
        if visit.form.get("do") == "photo":
            done = "" if trouble else say("The photo is saved.")
        elif not text and not client.photos_of(visit, house, step):
            trouble = say("Nothing is typed and there is no photo yet.")
        elif not trouble:
            with visit.desk.store.write() as db:
                kept, of = db.get(EngineerQuestion, item.id), db.get(HouseRecord, house.id)
                if kept is not None and of is not None:
                    kept.reply, kept.replied_at = text or "see the photos", now()
                    note_event(db, CLIENT, "answered the extra questions", of.key)
            return see_other(client.next_place(visit, house.id))
    with look_at(visit.desk.bench, house) as session:
        names = {wall.id: wall.title for wall in session.walls}
    return visit.page(
        "client_more.html", 400 if trouble else 200, house=house, base=client.base(visit),
        item=item, about=client.subject_title(item.subject, names),
        typed=text or item.reply, trouble=trouble, done=done,
        photos=client.photos_of(visit, house, step),
    )  # fmt: skip
