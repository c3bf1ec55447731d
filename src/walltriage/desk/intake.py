"""What one page of a client's intake changes.

An answer belongs to the question that was on the page, not to a counter: sent twice it does no
harm, sent from a second tab it lands where it was meant, and sent after the browser's back button
it changes what was said before.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from sqlalchemy.orm import object_session

from walltriage.case.answers import make_answer
from walltriage.case.measure import is_metric
from walltriage.case.model import HOUSE, Answer, Step, Sureness
from walltriage.desk import once_more
from walltriage.desk.bench import Bench
from walltriage.desk.case_edits import asked_again, with_answer, without_page
from walltriage.desk.events import CLIENT
from walltriage.desk.houses import MOST_WALLS, Act, change_case
from walltriage.desk.once_more import OnceMore
from walltriage.desk.said_before import is_said_again, place_of
from walltriage.desk.store import Store, now
from walltriage.desk.tables import EngineerQuestion, HouseRecord
from walltriage.inference.looks.glance import Asked as Page
from walltriage.inference.looks.glance import Picked
from walltriage.interview.given import GivenAnswer, TakenBack
from walltriage.interview.session import Session
from walltriage.interview.signs_told import NO, YES, signs
from walltriage.language import say

NONE_SEEN = "none"  # what the form of a page of several things says where nothing is ticked
DRAWING = "plan"
"""The place of a client who draws the plan before the questions."""
MOST_NAME, MOST_TYPED, MOST_NOTE = 80, 300, 1000


class NotAsked(Exception):  # noqa: N818 - told as what happened
    """The question is not, or no longer, one of this interview."""


@dataclass(frozen=True, slots=True)
class FormReply:
    """What came in from one look's page."""

    value: str
    sure: Sureness = "certain"
    note: str = ""
    several: bool = False
    """Whether it was said on a page of several things."""
    picked: Picked | None = None
    """Which of them are seen, by place in the whole glance; None for "I don't know"."""


def begin(
    store: Store, bench: Bench, house: HouseRecord, reach: int, draws: bool | None = None
) -> Session:
    """Say how far the client can go today, and whether to draw first; may be said again later."""

    def act(session: Session) -> tuple[Session, Sequence[GivenAnswer]]:
        session.set_person(session.case.role, reach, session.case.name)
        return session, ()

    def also(kept: HouseRecord) -> None:
        kept.begun = True
        kept.place = kept.place if draws is None else DRAWING if draws else ""

    return change_case(store, bench, house.id, act, CLIENT, also)


def leave_plan(store: Store, house: HouseRecord) -> None:
    """Go on to the questions; the plan can still be opened."""
    with store.write() as db:
        kept = db.get(HouseRecord, house.id)
        if kept is not None:
            kept.place = ""


def answer(store: Store, bench: Bench, house: HouseRecord, step: Step, said: FormReply) -> Session:
    """Take the answer to one look; what tells of a new sign that would settle a wall is a guess
    until it was looked at once more.

    Raises :class:`AnswerError` for a value that does not fit, and :class:`NotAsked`.
    """

    def act(session: Session) -> tuple[Session, Sequence[GivenAnswer]]:
        if said.several:
            return _answer_page(bench, session, step, said)
        before = next((item.answer for item in session.given if item.step == step), None)
        if before is not None:
            meant = made(session, step, said)
            if meant == before:
                return session, ()
            session.change(step, said.value, said.sure, said.note)
        elif session.step == step:
            session.answer(said.value, said.sure, said.note)
        else:
            raise NotAsked
        return session, _given(session, step, said)

    return _with_sign(store, bench, house, step, act)


def _with_sign(
    store: Store, bench: Bench, house: HouseRecord, step: Step, act: Act,
    also: Callable[[HouseRecord], None] = lambda house: None,
) -> Session:  # fmt: skip
    """Change a case by one answer, and note what has to be looked at once more."""
    once: OnceMore | None = None

    def act_and_look(session: Session) -> tuple[Session, Sequence[GivenAnswer]]:
        nonlocal once
        wall_id = session.wall_id if step.subject == HOUSE else step.subject
        if wall_id not in [wall.id for wall in session.walls]:
            raise NotAsked
        before = signs(session, wall_id)
        session, given = act(session)
        once = once_more.set_waiting(session, wall_id, before, step)
        return session, given

    def also_wait(kept: HouseRecord) -> None:
        also(kept)
        if once is not None:
            kept.place = once.place
        elif is_said_again(kept.place, step):
            kept.place = ""

    return change_case(store, bench, house.id, act_and_look, CLIENT, also_wait)


def look_once_more(store: Store, bench: Bench, house: HouseRecord, reply: str) -> Session:
    """Take what a client says who was asked to look once more: just so, not sure, or not so.

    "Not so" takes the answer back, with its page, and it is asked again; what was said stands on
    that page until then.
    """
    once = once_more.waiting(house.place)
    if once is None:
        raise NotAsked
    back: TakenBack | None = None

    def act(session: Session) -> tuple[Session, Sequence[GivenAnswer]]:
        nonlocal back
        item = once_more.given_to(session, once.steps[0])
        if item is None:
            return session, ()
        if reply == NO:
            back = once_more.taken_back(session, once)
            return bench.session(asked_again(session.case, item.step)), ()
        return session, once_more.confirmed(session, once) if reply == YES else ()

    def also(kept: HouseRecord) -> None:
        rest = None if reply == NO else once.rest
        kept.place = place_of(back) if back else rest.place if rest else ""

    return change_case(store, bench, house.id, act, CLIENT, also)


def _answer_page(
    bench: Bench, session: Session, step: Step, said: FormReply
) -> tuple[Session, Sequence[GivenAnswer]]:
    """Take what was said on a page of several things; sent again, it takes the earlier's place."""
    earlier, before = session, once_more.of_page(session, step)
    glance = before[0].step.glance if before else ""
    if glance:
        session = bench.session(without_page(session.case, step))
    page = session.page
    if page is None or (page.glance.id != glance if glance else session.step != step):
        raise NotAsked
    if said.picked is None:
        session.nothing_known(said.value, said.note)
    else:
        session.answer_page(shown_of(page, said.picked), said.sure, said.note)
    told = once_more.of_page(session, session.given[-1].step)
    return (earlier, ()) if told == before else (session, told)


def shown_of(page: Page, picked: Picked) -> Picked:
    """What was picked, by place on a page that shows only some things of its glance."""
    at = [page.glance.items.index(item) for item in page.items]
    return Picked(
        frozenset(n for n, place in enumerate(at) if place in picked.seen),
        frozenset(n for n, place in enumerate(at) if place in picked.unsure),
    )


def answer_out_of_turn(
    store: Store, bench: Bench, house: HouseRecord, step: Step, said: FormReply, asked_id: int
) -> Session:
    """Take the answer to a question that an engineer asked for."""

    def act(session: Session) -> tuple[Session, Sequence[GivenAnswer]]:
        case = with_answer(session.case, step, made(session, step, said))
        return bench.session(case), _given(session, step, said)

    def also(kept: HouseRecord) -> None:
        _note_reply(kept, asked_id, said.value)

    return _with_sign(store, bench, house, step, act, also)


def made(session: Session, step: Step, said: FormReply) -> Answer:
    """What was said as an answer to that question; :class:`AnswerError` when it is none."""
    question = session.triager.base.questions.get(step.question)
    if question is None:
        raise NotAsked
    return make_answer(
        step.question, question, said.value, units=session.case.units, sure=said.sure,
        note=said.note, metric=is_metric(session.case),
    )  # fmt: skip


def _given(session: Session, step: Step, said: FormReply) -> Sequence[GivenAnswer]:
    return (GivenAnswer(step, made(session, step, said)),)


def _note_reply(kept: HouseRecord, asked_id: int, text: str) -> None:
    db = object_session(kept)
    item = db.get(EngineerQuestion, asked_id) if db is not None else None
    if item is not None and item.house_id == kept.id:
        item.reply, item.replied_at = text, now()


def name_wall(store: Store, bench: Bench, house: HouseRecord, wall_id: str, name: str) -> Session:
    """Name a wall; an empty name becomes "wall 2" or the like, as at a terminal."""

    def act(session: Session) -> tuple[Session, Sequence[GivenAnswer]]:
        ids = [wall.id for wall in session.walls]
        if wall_id not in ids:
            raise NotAsked
        session.name_wall(wall_id, name or say("wall {value}", value=ids.index(wall_id) + 1))
        return session, ()

    return change_case(store, bench, house.id, act, CLIENT)


def add_wall(store: Store, bench: Bench, house: HouseRecord, name: str) -> Session:
    """One more wall of the same house; sent twice under one name it stays one."""

    def act(session: Session) -> tuple[Session, Sequence[GivenAnswer]]:
        names = {wall.name for wall in session.walls}
        if name and name not in names and len(session.walls) < MOST_WALLS:
            session.add_wall(name)
        return session, ()

    return change_case(store, bench, house.id, act, CLIENT)


def send(store: Store, bench: Bench, house: HouseRecord) -> Session:
    """Hand the intake to the firm; the client may still look and change until the link ends."""

    def act(session: Session) -> tuple[Session, Sequence[GivenAnswer]]:
        return session, ()

    def also(kept: HouseRecord) -> None:
        kept.sent_at = now()

    return change_case(store, bench, house.id, act, CLIENT, also, ("sent to the firm",))
