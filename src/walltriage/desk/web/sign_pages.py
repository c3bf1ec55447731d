"""Signing in and out, and the page on which somebody makes their login."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from starlette.responses import Response

from walltriage.desk import people
from walltriage.desk.tables import SignIn, StaffMember
from walltriage.desk.tokens import new_token, same
from walltriage.desk.web.visit import Visit, see_other
from walltriage.language import say

Page = Callable[[Visit], Response]
SIGN_IN = "/desk/sign-in"


def cookie_name(visit: Visit, kind: str) -> str:
    """Cookies that only this very host can set, where the connection is a secure one."""
    return f"__Host-walltriage-{kind}" if visit.desk.settings.secure else f"walltriage-{kind}"


def _set_cookie(visit: Visit, response: Response, kind: str, value: str, hours: int) -> None:
    response.set_cookie(
        cookie_name(visit, kind), value, max_age=hours * 3600, path="/", httponly=True,
        secure=visit.desk.settings.secure, samesite="lax",
    )  # fmt: skip


def _who(visit: Visit) -> tuple[StaffMember, SignIn] | None:
    """Whom the cookie stands for."""
    token = visit.request.cookies.get(cookie_name(visit, "desk"), "")
    with visit.desk.store.read() as db:
        return people.who(db, token) if token else None


def is_signed_in(visit: Visit) -> bool:
    """Whether somebody of the firm asks."""
    return _who(visit) is not None


def for_staff(role: str = "") -> Callable[[Page], Page]:
    """Only for people who are signed in, and, where one is named, have that role.

    A form has to bring the token that was in the page it came from.
    """

    def wrap(page: Page) -> Page:
        @wraps(page)
        def handler(visit: Visit) -> Response:
            found = _who(visit)
            if found is None:
                return see_other(SIGN_IN)
            visit.person, visit.form_token = found[0], found[1].form_token
            if visit.request.method == "POST" and not same(
                visit.form.get("form_token", ""), visit.form_token
            ):
                return visit.page("desk_trouble.html", 403, trouble="form")
            if role and visit.person.role != role:
                return visit.page("desk_trouble.html", 403, trouble="role")
            return page(visit)

        return handler

    return wrap


def sign_in(visit: Visit) -> Response:
    """The page with login and password; the form's token is compared with a cookie's."""
    settings, trouble = visit.desk.settings, ""
    if visit.request.method == "POST":
        trouble = say("Wrong login or password, or this login is locked for a while.")
        cookie = visit.request.cookies.get(cookie_name(visit, "form"), "")
        if not cookie or not same(visit.form.get("form_token", ""), cookie):
            trouble = say("The page was too old. Please try again.")
        elif not visit.desk.tries.take(visit.address):
            trouble = say("Too many tries. Wait a minute.")
        else:
            login, password = visit.text("login", 60), visit.form.get("password", "")
            with visit.desk.store.read() as db:  # nobody's answers wait while a hash is worked out
                fits = people.password_fits(db, login, password)
            with visit.desk.store.write() as db:
                person = people.signed_in(
                    db, login, password, fits, settings.tries_before_lock, settings.lock_minutes
                )
                if person is not None:
                    people.sign_out(db, visit.request.cookies.get(cookie_name(visit, "desk"), ""))
                    token, _ = people.sign_in(db, person, settings.session_hours)
            if person is not None:
                response = see_other("/desk")
                _set_cookie(visit, response, "desk", token, settings.session_hours)
                return response
    return _with_form_token(visit, "sign_in.html", 400 if trouble else 200, trouble=trouble)


def _with_form_token(visit: Visit, template: str, status: int, **what: Any) -> Response:
    """A page for somebody who is not signed in, with a form that only this browser can send."""
    visit.form_token = visit.request.cookies.get(cookie_name(visit, "form"), "") or new_token()
    response = visit.page(template, status, **what)
    _set_cookie(visit, response, "form", visit.form_token, 1)
    return response


@for_staff()
def sign_out(visit: Visit) -> Response:
    """End this browser's way in."""
    name = cookie_name(visit, "desk")
    if visit.request.method == "POST":
        with visit.desk.store.write() as db:
            people.sign_out(db, visit.request.cookies.get(name, ""))
    response = see_other(SIGN_IN)
    response.delete_cookie(name, path="/", secure=visit.desk.settings.secure, httponly=True)
    return response


def join(visit: Visit) -> Response:
    """Make one's login, or set its password anew, by a link that works once."""
    token = visit.request.path_params["token"]
    with visit.desk.store.read() as db:
        invitation = people.open_invitation(db, token)
        person = None
        if invitation is not None and invitation.person_id is not None:
            person = db.get(StaffMember, invitation.person_id)
    if invitation is None:
        if not visit.desk.tries.take(visit.address):
            return visit.page("client_trouble.html", 429, trouble="often")
        return visit.page("client_trouble.html", 404, trouble="invitation")
    trouble = ""
    if visit.request.method == "POST":
        cookie = visit.request.cookies.get(cookie_name(visit, "form"), "")
        if not cookie or not same(visit.form.get("form_token", ""), cookie):
            trouble = say("The page was too old. Please try again.")
        elif visit.form.get("password", "") != visit.form.get("again", ""):
            trouble = say("The two passwords do not match.")
        else:
            try:
                _accept(visit, token)
            except people.PersonError as error:
                trouble = str(error)
            else:
                return see_other(SIGN_IN)
    return _with_form_token(
        visit, "join.html", 400 if trouble else 200, trouble=trouble, person=person,
        least=people.LEAST_PASSWORD, login=visit.text("login", 60), name=visit.text("name", 200),
    )  # fmt: skip


def _accept(visit: Visit, token: str) -> None:
    with visit.desk.store.write() as db:
        invitation = people.open_invitation(db, token)
        if invitation is None:
            raise people.PersonError("This link has been used. Sign in instead.")
        login, name = visit.text("login", 60), visit.text("name", 200)
        people.accept(db, invitation, login, name, visit.form.get("password", ""))
