"""The pages on which a client looks again at what alone stands before a wall."""

from __future__ import annotations

from dataclasses import replace

from starlette.responses import Response

from walltriage.case.model import Step
from walltriage.desk import intake, second_looks
from walltriage.desk.houses import look_at
from walltriage.desk.intake import FormReply
from walltriage.desk.once_more import given_to
from walltriage.desk.tables import HouseRecord
from walltriage.desk.web.client_link import base, next_place, of_link
from walltriage.desk.web.look_page import LookPage, asked_page
from walltriage.desk.web.one_question import OneQuestion, one_question
from walltriage.desk.web.visit import Visit, see_other
from walltriage.interview.session import Session
from walltriage.interview.signs_told import ONCE_MORE
from walltriage.interview.stands_alone import LEAVE, alone_page
from walltriage.language import say


@of_link
def pick(visit: Visit, house: HouseRecord) -> Response:
    """What stands alone, and the answers it rests on: one is given anew, or none."""
    mark, desk = _mark(visit), visit.desk
    with look_at(desk.bench, house) as session:
        page = alone_page(session, second_looks.standing(house, session, mark))
        answered = len(session.given)
    trouble = ""
    if visit.request.method == "POST":
        reply = visit.form.get("answer", "")
        if reply == LEAVE:
            second_looks.leave(desk.store, desk.bench, house, mark)
            return see_other(next_place(visit, house.id))
        if reply in [choice.value for choice in page.choices]:
            return see_other(f"{_address(visit)}/{reply}")
        trouble = say("Pick one line.")
    return visit.page(
        "client_once_more.html", 400 if trouble else 200, house=house, base=base(visit),
        page=page, first="", cautions=(), sketch="", answered=answered, trouble=trouble,
    )  # fmt: skip


@of_link
def look(visit: Visit, house: HouseRecord) -> Response:
    """One of those answers, given anew."""
    parts, mark, desk = visit.request.path_params, _mark(visit), visit.desk
    step = Step(parts["subject"], parts["question"])
    with look_at(desk.bench, house) as session:
        try:
            second_looks.told(second_looks.standing(house, session, mark), step)
        except intake.NotAsked:
            if visit.request.method == "POST" or given_to(session, step) is None:
                raise
            # by the browser's back button: it is changed as any other answer is
            return see_other(f"{base(visit)}/look/{step.subject}/{step.question}")

    def shown(session: Session) -> LookPage:
        return _anew(asked_page(session, step))

    def take(said: FormReply) -> None:
        second_looks.look_again(desk.store, desk.bench, house, mark, step, said)

    address = _address(visit)
    asked = OneQuestion(
        step, f"{address}/{step.subject}/{step.question}", shown, take, back_to=address
    )
    return one_question(visit, house, asked)


def _anew(look: LookPage) -> LookPage:
    """With nothing picked: whoever looks again picks again, and a page sent on as it came is no
    second look."""
    page = replace(look.page, progress=say(ONCE_MORE))
    return replace(look, page=page, before=FormReply("", note=look.before.note))


def _mark(visit: Visit) -> second_looks.Mark:
    parts = visit.request.path_params
    return parts["wall"], parts["stop"]


def _address(visit: Visit) -> str:
    return f"{base(visit)}/second-look/{'/'.join(_mark(visit))}"
