"""Houses in the register: made, found, changed, set aside, deleted."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace

from sqlalchemy import or_, select, update
from sqlalchemy.orm import Session as Db

from walltriage.case.model import Case, Role, Wall
from walltriage.desk.bench import Bench, text_of
from walltriage.desk.events import note_event
from walltriage.desk.store import Store, now
from walltriage.desk.tables import AnswerEntry, HouseRecord
from walltriage.desk.tokens import new_key
from walltriage.interview.given import GivenAnswer
from walltriage.interview.session import Session

TRIES = 8  # to write a case that somebody else changes at the same moment
MOST_WALLS = 40


class Gone(Exception):  # noqa: N818 - told as what happened
    """There is no such house any more."""


@dataclass(frozen=True, slots=True)
class NewHouse:
    """What the firm knows before the client has said a word."""

    name: str
    walls: tuple[str, ...] = ()
    role: Role = "buyer"
    client: str = ""
    contact: str = ""
    address: str = ""
    visit_on: str = ""
    shows: str = "thanks"


def make_house(db: Db, new: NewHouse, by: str, case: Case | None = None) -> HouseRecord:
    """Add a house; its case starts empty unless one is given."""
    if case is None:
        named = tuple(Wall(f"wall{n}", name) for n, name in enumerate(new.walls, 1))
        case = Case(name=new.name, role=new.role, reach=0, walls=named or (Wall("wall1"),))
    house = HouseRecord(
        key=new_key(), name=new.name, client=new.client, contact=new.contact, address=new.address,
        visit_on=new.visit_on, shows=new.shows, case_text=text_of(case), revision=0, begun=False,
        place="", sent_at="", archived_at="", made_at=now(), changed_at=now(), summary="",
        summary_of="",
    )  # fmt: skip
    db.add(house)
    db.flush()
    note_event(db, by, "house added", house.key)
    return house


def house_by_key(db: Db, key: str) -> HouseRecord:
    """The house; :class:`Gone` when there is none."""
    house = db.scalar(select(HouseRecord).where(HouseRecord.key == key))
    if house is None:
        raise Gone
    return house


def find_houses(db: Db, words: str = "", archived: bool = False) -> Sequence[HouseRecord]:
    """Houses whose names, client, contact or address hold every word; the newest first."""
    query = select(HouseRecord).where((HouseRecord.archived_at != "") == archived)
    for word in words.split()[:8]:
        like = f"%{word.replace('%', '').replace('_', '')}%"
        fields = (
            HouseRecord.name,
            HouseRecord.client,
            HouseRecord.contact,
            HouseRecord.address,
            HouseRecord.key,
        )
        query = query.where(or_(*(field.ilike(like) for field in fields)))
    return db.scalars(query.order_by(HouseRecord.id.desc())).all()


Act = Callable[[Session], tuple[Session, Sequence[GivenAnswer]]]


def change_case(
    store: Store,
    bench: Bench,
    house_id: int,
    act: Act,
    by: str,
    also: Callable[[HouseRecord], None] = lambda house: None,
    told: Iterable[str] = (),
) -> Session:
    """Do something to a house's interview, and store what came of it before this returns.

    ``act`` returns the interview to keep and the answers given in it, for the record; ``also``
    changes the house's other fields in the same transaction; ``told`` are lines for the trail.
    What ``act`` raises comes out and nothing is changed.  Raises :class:`Gone` when there is no
    such house.
    """
    for _ in range(TRIES):
        with store.read() as db:
            house = db.get(HouseRecord, house_id)
        if house is None:
            raise Gone
        with bench.engine():
            session = bench.take(house.id, house.case_text)
            session, given = act(session)
            text = text_of(session.case)
        if _store(store, house, text, given, by, also, told):
            bench.put_back(house_id, text, session)
            return session
    raise RuntimeError(f"house {house_id} keeps being changed by someone else")


def _store(
    store: Store, house: HouseRecord, text: str, given: Sequence[GivenAnswer], by: str,
    also: Callable[[HouseRecord], None], told: Iterable[str],
) -> bool:  # fmt: skip
    """Write a case over the revision it was made from; False when that one is there no longer."""
    before = house.revision
    at = now()
    with store.write() as db:
        done = db.execute(
            update(HouseRecord)
            .where(HouseRecord.id == house.id, HouseRecord.revision == before)
            .values(case_text=text, revision=before + 1, changed_at=at)
        )
        if done.rowcount != 1:  # type: ignore[attr-defined]
            return False
        for item in given:
            db.add(
                AnswerEntry(
                    house_id=house.id, revision=before + 1, at=at, by=by,
                    subject=item.step.subject, question=item.step.question,
                    value=item.answer.given or item.answer.value, sure=item.answer.sure,
                    note=item.answer.note,
                )
            )  # fmt: skip
        kept = db.get(HouseRecord, house.id)
        assert kept is not None
        also(kept)
        for line in told:
            note_event(db, by, line, kept.key)
    return True


@contextmanager
def look_at(bench: Bench, house: HouseRecord) -> Iterator[Session]:
    """A house's interview to look at, while nobody else can change it.

    Whoever wants to change it uses :func:`change_case`.
    """
    with bench.engine():
        session = bench.take(house.id, house.case_text)
        yield session
        bench.put_back(house.id, house.case_text, session)


def update_facts(db: Db, house: HouseRecord, new: NewHouse, bench: Bench, by: str) -> None:
    """Change what the firm knows of a house; the case's name follows."""
    house.client, house.contact, house.address = new.client, new.contact, new.address
    house.visit_on, house.shows = new.visit_on, new.shows
    if new.name != house.name:
        house.name = new.name
        house.case_text = text_of(replace(bench.case_of(house.case_text), name=new.name))
        house.revision += 1
    house.changed_at = now()
    note_event(db, by, "facts changed", house.key)


def set_archived(db: Db, house: HouseRecord, archived: bool, by: str) -> None:
    """Set a house aside, or take it back to the queue."""
    house.archived_at = now() if archived else ""
    note_event(db, by, "set aside" if archived else "put back in the queue", house.key)


def delete_house(db: Db, house: HouseRecord, by: str, why: str) -> None:
    """Delete all that is kept of a house; the trail keeps that it was done, and why."""
    note_event(db, by, "deleted with everything that was sent in", house.key, why)
    db.delete(house)
