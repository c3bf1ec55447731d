"""Whatever kind of page the interview can show, the client's browser has a form for it."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args, get_type_hints

import pytest

from tests.desk.test_client import begun
from walltriage.desk.web import client
from walltriage.interview.pages import Choice, Kind
from walltriage.knowledge.schema import Question

pytestmark = pytest.mark.extras
ONE, OTHER = "the first of two", "the second of two"
TYPED = {'name="typed"', 'value="typed"'}
# what a form of each kind must hold for its answer to reach the firm
FORMS: dict[str, set[str]] = {
    "choice": {'type="radio" name="answer" value="one"', 'type="radio" name="answer" value="two"'},
    "several": {
        'name="several" value="1"', 'type="checkbox" name="seen-0"',
        'type="checkbox" name="seen-1"', 'type="checkbox" name="unsure-1"',
        'type="radio" name="answer" value="none"',
    },
    "length": TYPED,
    "number": TYPED,
    "text": {"<textarea id=\"typed\" name=\"typed\"", 'value="typed"'},
}  # fmt: skip
# what can be done at a terminal's prompt, by what does the same in a browser
WAYS = {
    "unknown": 'name="answer" value="unknown"',
    "out_of_reach": 'name="answer" value="out_of_reach"',
    "sure": 'name="sure"',
    "note": 'name="note"',
    "why": "Why I ask",
    "how": "How to look",
    "list": "Your answers",
}


@pytest.fixture
def shown(desk, monkeypatch):
    """The page of a first look, were it of some kind."""
    real = client.look_page

    def of(kind: str) -> str:
        def as_kind(session, step):
            look = real(session, step)
            page = replace(
                look.page, kind=kind, choices=(Choice("one", ONE), Choice("two", OTHER)),
                none="None of these", commands=tuple(WAYS),
            )  # fmt: skip
            return replace(look, page=page, things=((0, ONE), (1, OTHER)))

        monkeypatch.setattr(client, "look_page", as_kind)
        return begun(desk).page.text

    return of


def test_every_kind_of_page_has_a_form():
    """A kind that the interview learns needs a form here, and a line in ``FORMS``."""
    assert set(FORMS) == set(get_args(Kind))
    asked = get_args(get_type_hints(Question)["answer"])
    assert set(asked) < set(FORMS)


@pytest.mark.parametrize("kind", FORMS)
def test_a_form_holds_what_its_answer_needs(kind, shown):
    text = " ".join(shown(kind).split())
    assert [part for part in sorted(FORMS[kind]) if part not in text] == []
    others = FORMS["choice"] | FORMS["several"]
    assert [part for part in sorted(others - FORMS[kind]) if part in text] == []
    assert [way for way, part in WAYS.items() if part not in text] == []
    if kind in ("choice", "several"):
        assert ONE in text
        assert OTHER in text
