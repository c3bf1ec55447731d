"""Clients' links: made, opened, withdrawn.  Only a digest of each is kept."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from typing import Literal

from sqlalchemy import select
from sqlalchemy.orm import Session

from walltriage.desk.events import note_event
from walltriage.desk.store import now
from walltriage.desk.tables import HouseRecord, Link
from walltriage.desk.tokens import digest, new_token, same

Trouble = Literal["unknown", "expired", "withdrawn"]
_USED_AGAIN = 16  # letters of a time that make a minute: used times are kept no finer


class LinkError(Exception):
    """A link that opens nothing; ``trouble`` says why."""

    def __init__(self, trouble: Trouble) -> None:
        self.trouble = trouble
        super().__init__(trouble)


def make_link(db: Session, house: HouseRecord, days: int, by: str) -> str:
    """A new link's token; it cannot be shown a second time."""
    token = new_token()
    link = Link(
        house_id=house.id, token_digest=digest(token), made_at=now(),
        expires_at=now(timedelta(days=days)),
    )  # fmt: skip
    db.add(link)
    note_event(db, by, "link made, valid until", house.key, link.expires_at[:10])
    return token


def open_link(db: Session, token: str) -> tuple[HouseRecord, Link]:
    """The house a link leads to; :class:`LinkError` when it leads nowhere."""
    wanted = digest(token)
    link = db.scalar(select(Link).where(Link.token_digest == wanted))
    if link is None or not same(link.token_digest, wanted):
        raise LinkError("unknown")
    if link.withdrawn_at:
        raise LinkError("withdrawn")
    if link.expires_at <= now():
        raise LinkError("expired")
    house = db.get(HouseRecord, link.house_id)
    assert house is not None  # links go with their house
    return house, link


def note_use(db: Session, link_id: int) -> None:
    """Remember when a link was last used, to the minute."""
    link, at = db.get(Link, link_id), now()
    if link is not None and link.used_at[:_USED_AGAIN] != at[:_USED_AGAIN]:
        link.used_at = at


def links_of(db: Session, house: HouseRecord) -> Sequence[Link]:
    """All links to a house, the newest first."""
    query = select(Link).where(Link.house_id == house.id).order_by(Link.id.desc())
    return db.scalars(query).all()


def withdraw(db: Session, house: HouseRecord, link_id: int, by: str) -> bool:
    """End a link now; False when the house has no such link."""
    link = db.get(Link, link_id)
    if link is None or link.house_id != house.id:
        return False
    if not link.withdrawn_at:
        link.withdrawn_at = now()
        note_event(db, by, "link withdrawn", house.key)
    return True
