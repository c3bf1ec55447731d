"""Who may sign in: invitations, passwords, lockout, browsers that are signed in."""

from __future__ import annotations

from datetime import timedelta
from functools import cache
from typing import Literal

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from sqlalchemy import ColumnElement, delete, func, select, update
from sqlalchemy.orm import Session

from walltriage.desk.events import PROGRAM, note_event
from walltriage.desk.store import now
from walltriage.desk.tables import Invitation, SignIn, StaffMember
from walltriage.desk.tokens import digest, new_token, same
from walltriage.language import say

Role = Literal["engineer", "office"]
ROLES: tuple[Role, ...] = ("engineer", "office")
ROLE_WORDS = {"engineer": "Engineer", "office": "Office"}
LEAST_PASSWORD, MOST_PASSWORD = 12, 200
INVITATION_DAYS = 3
_HASHER = PasswordHasher()


class PersonError(Exception):
    """Something about a login that cannot be; the text says what to do."""


@cache
def _nobodys() -> str:
    """A hash to compare with where there is no such login, so that it takes as long."""
    return _HASHER.hash(new_token())


def anybody(db: Session) -> bool:
    """Whether there is a login yet."""
    return bool(db.scalar(select(func.count()).select_from(StaffMember)))


def invite(db: Session, role: Role, by: str = PROGRAM, person: StaffMember | None = None) -> str:
    """A token by which somebody makes a login, or sets the password of ``person`` anew, once."""
    token = new_token()
    db.add(
        Invitation(
            token_digest=digest(token), role=role, by=by, made_at=now(),
            person_id=person.id if person else None,
            expires_at=now(timedelta(days=INVITATION_DAYS)),
        )
    )  # fmt: skip
    note_event(db, by, "password to be set anew" if person else "invitation made", detail=role)
    return token


def open_invitation(db: Session, token: str) -> Invitation | None:
    """The invitation, unless it is used up, too old or none at all; in a writer, for it alone."""
    wanted = digest(token)
    query = select(Invitation).where(Invitation.token_digest == wanted)
    found = db.scalar(query.with_for_update())
    if found is None or not same(found.token_digest, wanted):
        return None
    return None if found.used_at or found.expires_at <= now() else found


def accept(
    db: Session, invitation: Invitation, login: str, name: str, password: str
) -> StaffMember:
    """Make the login, or set its password; :class:`PersonError` for what cannot be."""
    login, name = login.strip().lower(), name.strip()
    if invitation.person_id is not None:
        person = db.get(StaffMember, invitation.person_id)
        assert person is not None  # invitations go with their person
        _check_password(password, person.login)
        person.password, person.failures, person.locked_until = _HASHER.hash(password), 0, ""
        sign_out_everywhere(db, person)
    else:
        if not (2 <= len(login) <= 60 and login.isprintable() and " " not in login):
            raise PersonError("Choose a login of 2 to 60 letters without spaces.")
        if not 1 <= len(name) <= 200:
            raise PersonError("Type your name: it is shown next to what you check.")
        _check_password(password, login)
        if db.scalar(select(StaffMember).where(StaffMember.login == login)) is not None:
            raise PersonError("That login is taken. Choose another one.")
        person = StaffMember(
            login=login, name=name, role=invitation.role, password=_HASHER.hash(password),
            made_at=now(),
        )  # fmt: skip
        db.add(person)
    invitation.used_at = now()
    note_event(db, name or person.name, "login made or password set", detail=person.login)
    return person


def _check_password(password: str, login: str) -> None:
    if not LEAST_PASSWORD <= len(password) <= MOST_PASSWORD:
        raise PersonError(
            say(
                "A password has {least_password} to {most_password} letters.",
                least_password=LEAST_PASSWORD,
                most_password=MOST_PASSWORD,
            )
        )
    if len(set(password)) < 5 or login in password.lower():
        raise PersonError("That password is easy to guess. Three or four unusual words work well.")


def password_fits(db: Session, login: str, password: str) -> str:
    """The kept hash that a password fits, an empty text for none; takes long on purpose."""
    person = db.scalar(select(StaffMember).where(_is_login(login)))
    kept = person.password if person else _nobodys()
    return kept if _fits(kept, password) and person else ""


def signed_in(
    db: Session, login: str, password: str, fits: str, tries: int, lock_minutes: int
) -> StaffMember | None:
    """The person, when the login is not locked and ``fits`` is still the hash that is kept.

    Every miss counts, and ``tries`` of them in a row lock the login for ``lock_minutes``.  Tries
    that come at the same moment are counted one after another, each before it is told.
    """
    person = db.scalar(select(StaffMember).where(_is_login(login)).with_for_update())
    if person is None or not person.active or person.locked_until > now():
        return None
    if fits and same(fits, person.password):
        person.failures, person.locked_until = 0, ""
        if _HASHER.check_needs_rehash(person.password):
            person.password = _HASHER.hash(password)
        return person
    person.failures += 1
    if person.failures >= tries:
        person.failures, person.locked_until = 0, now(timedelta(minutes=lock_minutes))
        note_event(db, PROGRAM, "login locked", detail=person.login)
    return None


def _is_login(login: str) -> ColumnElement[bool]:
    return StaffMember.login == login.strip().lower()


def _fits(kept: str, password: str) -> bool:
    try:
        return _HASHER.verify(kept, password[:MOST_PASSWORD])
    except (VerificationError, InvalidHashError):
        return False


def sign_in(db: Session, person: StaffMember, hours: int) -> tuple[str, SignIn]:
    """Let one browser in; its token, and the row that stands for it."""
    db.execute(delete(SignIn).where(SignIn.expires_at <= now()))
    token = new_token()
    row = SignIn(
        token_digest=digest(token), person_id=person.id, form_token=new_token(), made_at=now(),
        expires_at=now(timedelta(hours=hours)),
    )  # fmt: skip
    db.add(row)
    note_event(db, person.name, "signed in")
    return token, row


def who(db: Session, token: str) -> tuple[StaffMember, SignIn] | None:
    """Who is signed in by this token."""
    wanted = digest(token)
    row = db.scalar(select(SignIn).where(SignIn.token_digest == wanted))
    if row is None or not same(row.token_digest, wanted) or row.expires_at <= now():
        return None
    person = db.get(StaffMember, row.person_id)
    return (person, row) if person is not None and person.active else None


def sign_out(db: Session, token: str) -> None:
    """End one browser's way in."""
    db.execute(delete(SignIn).where(SignIn.token_digest == digest(token)))


def sign_out_everywhere(db: Session, person: StaffMember) -> None:
    """End every browser's way in."""
    db.execute(delete(SignIn).where(SignIn.person_id == person.id))


def set_active(db: Session, person: StaffMember, active: bool, by: str) -> None:
    """Let a login in again, or out; somebody who goes is signed out at once.

    Invitations that they made, or that were made for them, open nothing after that.

    Raises :class:`PersonError` when no engineer would be left.
    """
    if not active and person.role == "engineer":
        others = select(func.count()).select_from(StaffMember).where(
            StaffMember.role == "engineer", StaffMember.active, StaffMember.id != person.id
        )  # fmt: skip
        if not db.scalar(others):
            raise PersonError("At least one engineer must be able to sign in.")
    person.active = active
    if not active:
        sign_out_everywhere(db, person)
        theirs = (Invitation.by == person.name) | (Invitation.person_id == person.id)
        db.execute(update(Invitation).where(theirs, Invitation.used_at == "").values(used_at=now()))
    note_event(db, by, "login turned on" if active else "login turned off", detail=person.login)
