"""What alone stands before a wall, or was not known of it, offered to the client for a second look
before the end.

Which walls and stops a client has replied to is kept with the house, so that each is offered once,
whatever becomes of the browser meanwhile.
"""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import select
from sqlalchemy.orm import Session as Db
from sqlalchemy.orm import object_session

from walltriage.case.model import Step
from walltriage.desk import once_more
from walltriage.desk.bench import Bench
from walltriage.desk.events import CLIENT
from walltriage.desk.houses import Act, change_case
from walltriage.desk.intake import FormReply, NotAsked, made
from walltriage.desk.store import Store, now
from walltriage.desk.tables import HouseRecord, LookOffered
from walltriage.interview.given import GivenAnswer
from walltriage.interview.session import Session
from walltriage.interview.stands_alone import StandsAlone, answer_anew, stands_alone

Mark = tuple[str, str]


def offered(db: Db, house_id: int) -> frozenset[Mark]:
    """The walls and stops that were offered and replied to."""
    rows = db.execute(
        select(LookOffered.wall, LookOffered.stop).where(LookOffered.house_id == house_id)
    )
    return frozenset((wall, stop) for wall, stop in rows)


def standing(house: HouseRecord, session: Session, mark: Mark) -> StandsAlone:
    """That stop before that wall; :class:`NotAsked` where it stands there alone no longer, or
    something else comes first."""
    wall_id, stop = mark
    if once_more.waiting(house.place) is None and wall_id in {w.id for w in session.walls}:
        for alone in stands_alone(session, wall_id):
            if alone.rule == stop:
                return alone
    raise NotAsked


def told(alone: StandsAlone, step: Step) -> GivenAnswer:
    """The answer to that question that the stop rests on; :class:`NotAsked` for any other."""
    item = next((item for item in alone.told if item.step == step), None)
    if item is None:
        raise NotAsked
    return item


def leave(store: Store, bench: Bench, house: HouseRecord, mark: Mark) -> Session:
    """The client looks at none of it once more: that is not asked again."""

    def act(session: Session) -> tuple[Session, Sequence[GivenAnswer]]:
        standing(house, session, mark)
        return session, ()

    return _replied(store, bench, house, mark, act)


def look_again(
    store: Store, bench: Bench, house: HouseRecord, mark: Mark, step: Step, said: FormReply
) -> Session:
    """Take what was said at a second look, for as much as it counts at a terminal.

    Sent twice it does no harm: that is one second look.  Raises :class:`AnswerError` for a value
    that does not fit.
    """

    def act(session: Session) -> tuple[Session, Sequence[GivenAnswer]]:
        item = told(standing(house, session, mark), step)
        now_said = made(session, step, said)  # refused before anything is changed
        with store.read() as db:
            sent_before = mark in offered(db, house.id)
        if sent_before and (now_said.value, now_said.sure) == (item.answer.value, item.answer.sure):
            return session, ()
        answer_anew(session, item, said.value, said.sure, said.note)
        changed = once_more.given_to(session, step)
        return session, (changed,) if changed is not None and changed != item else ()

    return _replied(store, bench, house, mark, act)


def _replied(store: Store, bench: Bench, house: HouseRecord, mark: Mark, act: Act) -> Session:
    def also(kept: HouseRecord) -> None:
        db = object_session(kept)
        if db is not None and mark not in offered(db, kept.id):
            wall_id, stop = mark
            db.add(LookOffered(house_id=kept.id, wall=wall_id, stop=stop, at=now()))

    return change_case(store, bench, house.id, act, CLIENT, also)
