"""The register's tables.

A house keeps its case in the form of case files, with a revision that grows with every change;
``entries`` keep every answer that was ever given, in order, so that nothing anybody said is lost
when they change their mind.  Times are UTC, in ISO 8601 to the second.
"""

from __future__ import annotations

from sqlalchemy import ForeignKey, Index, LargeBinary, String, Text
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column


class Base(DeclarativeBase):
    """All tables."""


class HouseRecord(Base):
    """One house of one client."""

    __tablename__ = "houses"

    id: Mapped[int] = mapped_column(primary_key=True)
    key: Mapped[str] = mapped_column(String(20), unique=True)
    name: Mapped[str] = mapped_column(String(200))
    client: Mapped[str] = mapped_column(String(200), default="")
    contact: Mapped[str] = mapped_column(String(300), default="")
    address: Mapped[str] = mapped_column(String(300), default="")
    visit_on: Mapped[str] = mapped_column(String(10), default="")
    shows: Mapped[str] = mapped_column(String(10), default="thanks")
    case_text: Mapped[str] = mapped_column(Text)
    revision: Mapped[int] = mapped_column(default=0)
    begun: Mapped[bool] = mapped_column(default=False)
    place: Mapped[str] = mapped_column(Text, default="")
    sent_at: Mapped[str] = mapped_column(String(20), default="")
    archived_at: Mapped[str] = mapped_column(String(20), default="")
    made_at: Mapped[str] = mapped_column(String(20))
    changed_at: Mapped[str] = mapped_column(String(20))
    summary: Mapped[str] = mapped_column(Text, default="")
    summary_of: Mapped[str] = mapped_column(String(100), default="")


class Link(Base):
    """A client's way to one house, until it runs out or is withdrawn."""

    __tablename__ = "links"

    id: Mapped[int] = mapped_column(primary_key=True)
    house_id: Mapped[int] = mapped_column(ForeignKey("houses.id", ondelete="CASCADE"), index=True)
    token_digest: Mapped[str] = mapped_column(String(64), unique=True)
    made_at: Mapped[str] = mapped_column(String(20))
    expires_at: Mapped[str] = mapped_column(String(20))
    withdrawn_at: Mapped[str] = mapped_column(String(20), default="")
    used_at: Mapped[str] = mapped_column(String(20), default="")


class AnswerEntry(Base):
    """One answer as it was given, with the revision of the case it made."""

    __tablename__ = "entries"
    __table_args__ = (Index("entry_of_house", "house_id", "revision"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    house_id: Mapped[int] = mapped_column(ForeignKey("houses.id", ondelete="CASCADE"))
    revision: Mapped[int]
    at: Mapped[str] = mapped_column(String(20))
    by: Mapped[str] = mapped_column(String(200))
    subject: Mapped[str] = mapped_column(String(60))
    question: Mapped[str] = mapped_column(String(100))
    value: Mapped[str] = mapped_column(Text)
    sure: Mapped[str] = mapped_column(String(10))
    note: Mapped[str] = mapped_column(Text, default="")


class Photo(Base):
    """What is known of a picture; the picture itself is in ``photo_data``."""

    __tablename__ = "photos"

    id: Mapped[int] = mapped_column(primary_key=True)
    key: Mapped[str] = mapped_column(String(20), unique=True)
    house_id: Mapped[int] = mapped_column(ForeignKey("houses.id", ondelete="CASCADE"), index=True)
    subject: Mapped[str] = mapped_column(String(60))
    question: Mapped[str] = mapped_column(String(100))
    width: Mapped[int]
    height: Mapped[int]
    sha256: Mapped[str] = mapped_column(String(64))
    by: Mapped[str] = mapped_column(String(200))
    at: Mapped[str] = mapped_column(String(20))
    caption: Mapped[str] = mapped_column(String(200), default="")


class PhotoData(Base):
    """A picture in two sizes, both JPEG without any other data."""

    __tablename__ = "photo_data"

    photo_id: Mapped[int] = mapped_column(
        ForeignKey("photos.id", ondelete="CASCADE"), primary_key=True
    )
    picture: Mapped[bytes] = mapped_column(LargeBinary)
    small: Mapped[bytes] = mapped_column(LargeBinary)


class AnswerCheck(Base):
    """What an engineer says of one answer after looking at what was sent in."""

    __tablename__ = "checks"
    __table_args__ = (Index("check_of_answer", "house_id", "subject", "question", unique=True),)

    id: Mapped[int] = mapped_column(primary_key=True)
    house_id: Mapped[int] = mapped_column(ForeignKey("houses.id", ondelete="CASCADE"))
    subject: Mapped[str] = mapped_column(String(60))
    question: Mapped[str] = mapped_column(String(100))
    says: Mapped[str] = mapped_column(String(12))
    of_value: Mapped[str] = mapped_column(Text)
    value: Mapped[str] = mapped_column(Text, default="")
    note: Mapped[str] = mapped_column(Text, default="")
    by: Mapped[str] = mapped_column(String(200))
    at: Mapped[str] = mapped_column(String(20))


class EngineerQuestion(Base):
    """One more thing an engineer asks the client: a question of the rules, or in free words."""

    __tablename__ = "asked"

    id: Mapped[int] = mapped_column(primary_key=True)
    house_id: Mapped[int] = mapped_column(ForeignKey("houses.id", ondelete="CASCADE"), index=True)
    subject: Mapped[str] = mapped_column(String(60))
    question: Mapped[str] = mapped_column(String(100), default="")
    words: Mapped[str] = mapped_column(Text, default="")
    by: Mapped[str] = mapped_column(String(200))
    at: Mapped[str] = mapped_column(String(20))
    reply: Mapped[str] = mapped_column(Text, default="")
    replied_at: Mapped[str] = mapped_column(String(20), default="")


class LookOffered(Base):
    """A stop that stood alone before a wall, offered for a second look and replied to."""

    __tablename__ = "looks_offered"

    id: Mapped[int] = mapped_column(primary_key=True)
    house_id: Mapped[int] = mapped_column(ForeignKey("houses.id", ondelete="CASCADE"), index=True)
    wall: Mapped[str] = mapped_column(String(60))
    stop: Mapped[str] = mapped_column(String(100))
    at: Mapped[str] = mapped_column(String(20))


class Note(Base):
    """A note of the firm's on a house; clients never see it."""

    __tablename__ = "notes"

    id: Mapped[int] = mapped_column(primary_key=True)
    house_id: Mapped[int] = mapped_column(ForeignKey("houses.id", ondelete="CASCADE"), index=True)
    text: Mapped[str] = mapped_column(Text)
    by: Mapped[str] = mapped_column(String(200))
    at: Mapped[str] = mapped_column(String(20))


class StaffMember(Base):
    """Somebody of the firm who may sign in."""

    __tablename__ = "people"

    id: Mapped[int] = mapped_column(primary_key=True)
    login: Mapped[str] = mapped_column(String(60), unique=True)
    name: Mapped[str] = mapped_column(String(200))
    role: Mapped[str] = mapped_column(String(10))
    password: Mapped[str] = mapped_column(String(200))
    active: Mapped[bool] = mapped_column(default=True)
    failures: Mapped[int] = mapped_column(default=0)
    locked_until: Mapped[str] = mapped_column(String(20), default="")
    made_at: Mapped[str] = mapped_column(String(20))


class Invitation(Base):
    """A link by which one person makes their own login, once."""

    __tablename__ = "invitations"

    id: Mapped[int] = mapped_column(primary_key=True)
    token_digest: Mapped[str] = mapped_column(String(64), unique=True)
    role: Mapped[str] = mapped_column(String(10))
    person_id: Mapped[int | None] = mapped_column(ForeignKey("people.id", ondelete="CASCADE"))
    by: Mapped[str] = mapped_column(String(200))
    made_at: Mapped[str] = mapped_column(String(20))
    expires_at: Mapped[str] = mapped_column(String(20))
    used_at: Mapped[str] = mapped_column(String(20), default="")


class SignIn(Base):
    """One browser in which somebody is signed in."""

    __tablename__ = "sign_ins"

    id: Mapped[int] = mapped_column(primary_key=True)
    token_digest: Mapped[str] = mapped_column(String(64), unique=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id", ondelete="CASCADE"))
    form_token: Mapped[str] = mapped_column(String(60))
    made_at: Mapped[str] = mapped_column(String(20))
    expires_at: Mapped[str] = mapped_column(String(20))


class Event(Base):
    """Who changed what, when; kept when a house is deleted, without what was in it."""

    __tablename__ = "events"

    id: Mapped[int] = mapped_column(primary_key=True)
    at: Mapped[str] = mapped_column(String(20), index=True)
    by: Mapped[str] = mapped_column(String(200))
    what: Mapped[str] = mapped_column(String(60))
    house_key: Mapped[str] = mapped_column(String(20), default="", index=True)
    detail: Mapped[str] = mapped_column(Text, default="")


class Outcome(Base):
    """What was later found of one wall, and what had been said of it until then."""

    __tablename__ = "outcomes"
    __table_args__ = (Index("outcome_of_wall", "house_id", "wall", unique=True),)

    id: Mapped[int] = mapped_column(primary_key=True)
    house_id: Mapped[int] = mapped_column(ForeignKey("houses.id", ondelete="CASCADE"))
    wall: Mapped[str] = mapped_column(String(60))
    bears: Mapped[bool]
    paths: Mapped[str] = mapped_column(Text, default="")
    seen: Mapped[str] = mapped_column(String(12))
    why: Mapped[str] = mapped_column(String(12))
    reporter: Mapped[str] = mapped_column(String(12))
    by: Mapped[str] = mapped_column(String(200))
    found_on: Mapped[str] = mapped_column(String(10))
    note: Mapped[str] = mapped_column(Text, default="")
    at: Mapped[str] = mapped_column(String(20))
    record: Mapped[str] = mapped_column(Text)


class Pooled(Base):
    """An anonymous outcome of another firm; ``mark`` keeps it from coming in twice."""

    __tablename__ = "pooled"

    id: Mapped[int] = mapped_column(primary_key=True)
    mark: Mapped[str] = mapped_column(String(64), unique=True)
    record: Mapped[str] = mapped_column(Text)
    at: Mapped[str] = mapped_column(String(20))
