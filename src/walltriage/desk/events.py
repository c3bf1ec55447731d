"""The trail of who changed what."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import select
from sqlalchemy.orm import Session

from walltriage.desk.store import now
from walltriage.desk.tables import Event

CLIENT = "the client"
PROGRAM = "the program"


def note_event(db: Session, by: str, what: str, house_key: str = "", detail: str = "") -> None:
    """Add one line to the trail, in the transaction of what it tells of."""
    db.add(Event(at=now(), by=by, what=what, house_key=house_key, detail=detail))


def events(db: Session, house_key: str = "", most: int = 200) -> Sequence[Event]:
    """The newest events first, of one house or of all."""
    query = select(Event).order_by(Event.id.desc()).limit(most)
    if house_key:
        query = query.where(Event.house_key == house_key)
    return db.scalars(query).all()
