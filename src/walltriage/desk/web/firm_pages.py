"""The firm's own pages: who may sign in, what was changed, everything out and in again."""

from __future__ import annotations

from collections.abc import Iterator
from typing import BinaryIO

from sqlalchemy import select
from starlette.responses import Response, StreamingResponse

from walltriage.case.model import HOUSE
from walltriage.desk import people
from walltriage.desk.events import events
from walltriage.desk.export import MOST_BY_BROWSER, ImportTrouble, export_zip, import_zip
from walltriage.desk.store import now
from walltriage.desk.tables import HouseRecord, StaffMember
from walltriage.desk.web.sign_pages import for_staff
from walltriage.desk.web.visit import Visit
from walltriage.knowledge.base import KnowledgeBase
from walltriage.language import say

CHUNK = 1 << 16


@for_staff("engineer")
def staff(visit: Visit) -> Response:
    """Logins: invite, close, open, have a password set anew."""
    me, trouble, link = visit.person, "", ""
    assert me is not None
    if visit.request.method == "POST":
        try:
            link = _change(visit, me.name)
        except people.PersonError as error:
            trouble = str(error)
    with visit.desk.store.read() as db:
        all_people = db.scalars(select(StaffMember).order_by(StaffMember.name)).all()
    return visit.page(
        "people.html", 400 if trouble else 200, people=all_people, trouble=trouble, now=now(),
        link=f"{visit.desk.settings.public_url}/join/{link}" if link else "",
        role_words=people.ROLE_WORDS,
    )  # fmt: skip


def _change(visit: Visit, by: str) -> str:
    """Do what the form says; the token of a link that came of it, or an empty text."""
    do = visit.form.get("do")
    with visit.desk.store.write() as db:
        if do == "invite":
            role = next((r for r in people.ROLES if r == visit.form.get("role")), None)
            if role is None:
                raise people.PersonError("Pick a role.")
            return people.invite(db, role, by)
        person = db.get(StaffMember, visit.number("person"))
        if person is None:
            raise people.PersonError("There is no such login.")
        if do == "password":
            return people.invite(db, people.ROLES[0], by, person)
        people.set_active(db, person, do == "open", by)
    return ""


@for_staff("engineer")
def trail(visit: Visit) -> Response:
    """Who changed what."""
    key = visit.request.query_params.get("house", "")[:20]
    with visit.desk.store.read() as db:
        lines = events(db, key, 500)
        houses = {house.key: house.name for house in db.scalars(select(HouseRecord))}
    details = {line.id: _detail(visit.desk.bench.base, line.detail) for line in lines}
    names = {line.house_key: houses.get(line.house_key, line.house_key) for line in lines}
    return visit.page("trail.html", lines=lines, key=key, houses=names, details=details)


def _detail(base: KnowledgeBase, detail: str) -> str:
    """A line's detail in words: of a look its question, of a role its name."""
    subject, _, name = detail.partition("/")
    question = base.questions.get(name)
    if question is not None:
        about = say("The house") if subject == HOUSE else subject
        return f"{about}: {question.entry.ask}"
    return say(people.ROLE_WORDS.get(detail, detail))


@for_staff("engineer")
def everything(visit: Visit) -> Response:
    """All houses as case files and photos in one archive."""
    me = visit.person
    assert me is not None
    if visit.request.method != "POST":
        return visit.page("everything.html", told=(), trouble="")
    if visit.form.get("do") == "import":
        data = visit.files.get("archive", ("", b""))[1]
        try:
            told = import_zip(
                visit.desk.store, visit.desk.bench.base, data, me.name, MOST_BY_BROWSER
            )
        except ImportTrouble as error:
            return visit.page("everything.html", 400, told=(), trouble=str(error))
        return visit.page("everything.html", told=told, trouble="")
    file = export_zip(visit.desk.store, visit.desk.bench, me.name)
    headers = {"content-disposition": f'attachment; filename="desk-{now()[:10]}.zip"'}
    return StreamingResponse(_chunks(file), media_type="application/zip", headers=headers)


def _chunks(file: BinaryIO) -> Iterator[bytes]:
    with file:
        while chunk := file.read(CHUNK):
            yield chunk
