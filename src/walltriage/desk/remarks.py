"""What the firm adds to a house: notes of its own, and one more thing to ask the client."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import select
from sqlalchemy.orm import Session as Db

from walltriage.case.model import HOUSE, Case
from walltriage.desk.events import note_event
from walltriage.desk.store import now
from walltriage.desk.tables import EngineerQuestion, HouseRecord, Note
from walltriage.knowledge.base import KnowledgeBase

MOST_WORDS = 1000


class RemarkError(Exception):
    """Something that cannot be asked; the text says why."""


def notes_of(db: Db, house: HouseRecord) -> Sequence[Note]:
    """A house's notes, the newest first."""
    query = select(Note).where(Note.house_id == house.id).order_by(Note.id.desc())
    return db.scalars(query).all()


def add_note(db: Db, house: HouseRecord, text: str, by: str) -> None:
    """Write a note; the same text twice in a row is one note."""
    last = next(iter(notes_of(db, house)), None)
    if text and (last is None or last.text != text):
        db.add(Note(house_id=house.id, text=text, by=by, at=now()))
        note_event(db, by, "note added", house.key)


def asked_of(db: Db, house: HouseRecord) -> Sequence[EngineerQuestion]:
    """What was asked besides, in order."""
    query = (
        select(EngineerQuestion)
        .where(EngineerQuestion.house_id == house.id)
        .order_by(EngineerQuestion.id)
    )
    return db.scalars(query).all()


def ask(
    db: Db, base: KnowledgeBase, house: HouseRecord, case: Case, subject: str, question: str,
    words: str, by: str,
) -> None:  # fmt: skip
    """Add a look to the client's link: a question of the rules, or free words, or both.

    Raises :class:`RemarkError` for one that could not be answered.
    """
    if subject != HOUSE and subject not in {wall.id for wall in case.walls}:
        raise RemarkError("Pick the house or one of its walls.")
    if question:
        known = base.questions.get(question)
        if known is None or known.entry.kind == "computed":
            raise RemarkError("There is no such question. Pick one from the list.")
        if (known.scope == HOUSE) != (subject == HOUSE):
            if known.scope == HOUSE:
                raise RemarkError("That question is about the house. Pick the house for it.")
            raise RemarkError("That question is about a wall. Pick a wall for it.")
    elif not words:
        raise RemarkError("Pick a question or write what you want to know.")
    waiting = [item for item in asked_of(db, house) if not item.replied_at]
    if any((i.subject, i.question, i.words) == (subject, question, words) for i in waiting):
        return
    db.add(
        EngineerQuestion(
            house_id=house.id, subject=subject, question=question, words=words, by=by, at=now()
        )
    )
    note_event(db, by, "asked one more thing", house.key, f"{subject}/{question}")


def take_back(db: Db, house: HouseRecord, asked_id: int, by: str) -> None:
    """Withdraw the question, unless it was answered already."""
    item = db.get(EngineerQuestion, asked_id)
    if item is not None and item.house_id == house.id and not item.replied_at:
        db.delete(item)
        note_event(db, by, "withdrew the question", house.key)
