"""A firm's intake asks who the client is; nobody else is asked."""

from __future__ import annotations

import pytest

from tests.interview.person import Person
from walltriage.case.read import read_case
from walltriage.report.texts import texts_for


@pytest.fixture
def start(tmp_path):
    started = []

    def begin(role: str) -> Person:
        one = Person(tmp_path, "--for", role, "--save", str(tmp_path / "alder.yaml"), rules=None)
        started.append(one)
        for line in ("3", "Alder"):
            one.type(line)
        return one

    yield begin
    for one in started:
        one.child.close(force=True)


def kept(full, tmp_path):
    """What the record tells of the client."""
    return dict(read_case(tmp_path / "alder.yaml", full.base.questions).client)


def test_each_field_is_saved_as_it_is_told(start, full, tmp_path):
    """One page each, any left open; saved at once, so that a broken line loses nothing."""
    fields = [field for field in texts_for(full.base).client_fields if field.asked]
    assert [field.id for field in fields] == ["client_name", "client_contact", "client_address"]
    one = start("firm")
    assert f"The client, 1 of {len(fields)}." in one.shown
    one.type("Mo Finch")
    assert kept(full, tmp_path) == {"client_name": "Mo Finch"}
    assert "Site address?" in one.type("")
    assert "The client," not in one.type("").split("Site address?")[-1]
    assert kept(full, tmp_path) == {"client_name": "Mo Finch"}


def test_going_back_keeps_what_was_told(start, full, tmp_path):
    """Enter alone keeps it, and the page says so; another line takes its place."""
    one = start("firm")
    one.type("Mo Finch")
    assert "Press Enter for: Mo Finch." in one.type("/b")
    one.type("")
    one.type("555 0100")
    assert "Press Enter for: 555 0100." in one.type("/b")
    one.type("mo@example.org")
    one.type("3 Alder Street")
    assert kept(full, tmp_path) == {
        "client_name": "Mo Finch",
        "client_contact": "mo@example.org",
        "client_address": "3 Alder Street",
    }


def test_back_from_the_plan_leads_through_these_pages(start):
    """The last of them first, and on to the plan again."""
    one = start("firm")
    for line in ("Mo Finch", "", "3 Alder Street"):
        shown = one.type(line)
    assert "sketch a simple plan" in shown
    shown = one.type("b")
    assert "Site address?" in shown
    assert "Press Enter for: 3 Alder Street." in shown
    assert "sketch a simple plan" in one.type("")


def test_a_number_is_a_name_too(start, full, tmp_path):
    """Nothing is picked by number on these pages."""
    one = start("firm")
    one.type("7")
    assert kept(full, tmp_path) == {"client_name": "7"}


@pytest.mark.parametrize("role", ["buyer", "trade"])
def test_nobody_else_is_asked(start, role):
    assert "The client," not in start(role).everything


def test_back_from_the_first_question_skips_no_page(start):
    """One page each time: the plan that was declined, the client's pages, the house's name."""
    one = start("firm")
    for line in ("Mo Finch", "", "3 Alder Street", "2"):
        one.type(line)
    assert "sketch a simple plan" in one.type("b")
    assert "Press Enter for: 3 Alder Street." in one.type("/b")
    one.type("/b")
    assert "Press Enter for: Mo Finch." in one.type("/b")
    assert "What should I call the house?" in one.type("/b")
