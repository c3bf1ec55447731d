"""What comes in that no page of ours sends: each a plain page, nothing lost, never an error."""

from __future__ import annotations

import pytest

pytest.importorskip("sqlalchemy")

from sqlalchemy import select

from tests.desk.browser import Browser
from tests.desk.test_client import begun, entries
from tests.desk.test_security import HOSTILE, in_address, token_in
from walltriage.desk.houses import delete_house
from walltriage.desk.tables import HouseRecord, Photo
from walltriage.desk.web.app import addresses

pytestmark = pytest.mark.extras

LONG = "x" * 60_000
FORMS = {
    "nothing": {},
    "long": dict.fromkeys(("answer", "typed", "name", "note", "text", "value", "words"), LONG),
    "markup": dict.fromkeys(("answer", "typed", "name", "note", "text", "do", "subject"), HOSTILE),
    "far numbers": {"answer": "typed", "typed": "9" * 400, "reach": "9" * 30, "mark": "-1",
                    "so_far": "[" * 5_000, "first": "999999,-999999", "point330.x": "1e9",
                    "point330.y": "-1"},
    "other kinds": {"answer": "none", "several": "1", "seen-0": "1", "seen-99": "1",
                    "unsure-x": "1", "sure": "checked", "do": "answer", "so_far": '{"a": 1}',
                    "says": "agrees", "question": "no_such", "subject": "wall99"},
    "half": {"do": "invite", "role": "owner", "person": "x", "bears": "yes", "found_on": "soon",
             "so_far": '["ground", 7, null]', "level": "../ground", "shows": "all"},
}  # fmt: skip
PATTERNS = sorted(set(addresses()) - {"/desk/sign-out"})
RAW = {
    "no form at all": ("application/json", b'{"answer": 1}'),
    "a boundary that never comes": ("multipart/form-data; boundary=x", b"--y\r\nnothing"),
    "no boundary": ("multipart/form-data", b"--x--"),
    "letters in another coding": (
        "multipart/form-data; boundary=x; charset=unicode_escape",
        b'--x\r\nContent-Disposition: form-data; name="note"\r\n\r\n\\ud800\\x00\r\n--x--\r\n',
    ),
    "bytes that are no letters": ("application/x-www-form-urlencoded", b"note=%ff%00&answer=%c3"),
}  # fmt: skip


@pytest.fixture
def places(desk) -> tuple[Browser, Browser, dict[str, str]]:
    """A client at a look, an engineer, and what addresses are made of."""
    client = begun(desk, walls=("kitchen",))
    with desk.store.read() as db:
        house = db.scalar(select(HouseRecord))
    boss = desk.engineer()
    parts = {"token": client.path.split("/")[2], "key": house.key}
    return client, boss, parts


@pytest.mark.parametrize("name", FORMS)
def test_forms_that_nobody_was_given(name, places):
    """Sent to every address there is, with the token of a form where one is wanted."""
    client, boss, parts = places
    for pattern in PATTERNS:
        path = in_address(pattern, **parts)
        browser = boss if path.startswith("/desk") else client
        form = FORMS[name] | {"form_token": token_in(boss.page)}
        answer = browser.client.post(path, data=form, files={"none": ("", b"")})
        assert answer.status_code < 500, (pattern, answer.status_code)


@pytest.mark.parametrize("name", RAW)
def test_bodies_that_are_no_forms(name, places):
    """Told plainly; the desk goes on."""
    client, boss, parts = places
    kind, body = RAW[name]
    for pattern in PATTERNS:
        path = in_address(pattern, **parts)
        browser = boss if path.startswith("/desk") else client
        answer = browser.client.post(path, content=body, headers={"content-type": kind})
        assert answer.status_code < 500, (pattern, answer.status_code)


@pytest.mark.parametrize("method", ["put", "delete", "patch", "options", "head"])
def test_other_ways_to_ask(method, places):
    """Answered or refused, and nothing is done."""
    client, _, parts = places
    for pattern in ("/c/{token}", "/c/{token}/end", "/desk", "/desk/house/{key}/delete"):
        answer = getattr(client.client, method)(in_address(pattern, **parts))
        assert answer.status_code < 500, pattern


def test_a_form_of_a_house_that_was_deleted_meanwhile(desk):
    """The open page says what happened; so does every other one, and no row comes back."""
    client = begun(desk)
    fields = client.fields() | {"answer": client.options("answer")[0]}
    with desk.store.write() as db:
        delete_house(db, db.scalar(select(HouseRecord)), "Ida", "at the client's wish")
    answer = client.client.post(client.path, data=fields, files={"none": ("", b"")})
    assert answer.status_code == 404
    assert "There is nothing under this link" in answer.text
    assert entries(desk) == []
    with desk.store.read() as db:
        assert db.scalar(select(Photo)) is None
