"""What would settle a wall is looked at once more in a browser, as at a terminal."""

from __future__ import annotations

import re

import pytest

from tests.desk.test_client import begun, case_in, give_as, step_of
from tests.interview.answering import PLAIN_HOUSE
from walltriage.case.answers import make_answer
from walltriage.case.model import HOUSE, Case, Wall

pytestmark = pytest.mark.extras
ASKED = "Did you see just that yourself, at this wall?"
# Rafters, and ceiling joists that lap on the wall.
LAPS = PLAIN_HOUSE | {"attic_joists_at_wall": "end_or_lap", "wall_top": "board_ends"}
LOOKS = ("attic_joists_at_wall", "wall_top")


def who_saw_laps(questions, unasked: str = "") -> Case:
    """Somebody who knows what ``LAPS`` says, but for one question."""
    made = {n: make_answer(n, questions[n], v) for n, v in LAPS.items() if n != unasked}
    house = {n: a for n, a in made.items() if questions[n].scope == HOUSE}
    own = {n: a for n, a in made.items() if n not in house}
    return Case(house=house, walls=(Wall("wall1", "kitchen", own),))


def up_to_the_sign(desk, unasked: str = ""):
    """A client in the attic who has just said that joists end on the wall."""
    person = who_saw_laps(desk.parts.bench.base.questions, unasked)
    browser = begun(desk, walls=("kitchen",))
    while (at := step_of(browser.path)) is not None:
        give_as(browser, person, *at)
    assert browser.path.endswith("/once-more"), browser.text
    return browser


@pytest.fixture(params=["asked by itself", "on a page"])
def at_the_sign(desk, request):
    return up_to_the_sign(desk, "" if request.param == "asked by itself" else "wall_top")


def answer_of(desk):
    """What is kept of the looks at the wall's top that tell of such a sign."""
    (wall,) = case_in(desk, desk_key(desk)).walls
    told = (wall.answers[name] for name in LOOKS if name in wall.answers)
    return next((answer for answer in told if answer.is_real), None)


def desk_key(desk) -> str:
    """The one house's key."""
    from walltriage.desk.houses import find_houses

    with desk.store.read() as db:
        (house,) = find_houses(db)
        return house.key


def test_a_drawing_and_one_plain_question(at_the_sign):
    assert ASKED in at_the_sign.text
    assert "<svg" in at_the_sign.page.text
    assert at_the_sign.options("answer") == ["yes", "unsure", "no"]


def test_until_then_it_is_a_guess(at_the_sign, desk, full):
    """Whoever closes the browser here has settled nothing; the link leads back to the question."""
    assert answer_of(desk).sure == "guess"
    assert full.finding(case_in(desk, desk_key(desk))).walls[0].verdict != "likely_bearing"
    link = at_the_sign.path.removesuffix("/once-more")
    at_the_sign.get(link)
    assert at_the_sign.path.endswith("/once-more")


def test_yes_counts(at_the_sign, desk, full):
    at_the_sign.submit({"answer": "yes"})
    assert not at_the_sign.path.endswith("/once-more")
    assert answer_of(desk).sure == "confirmed"
    assert full.finding(case_in(desk, desk_key(desk))).walls[0].verdict == "likely_bearing"


def test_not_sure_is_a_guess(at_the_sign, desk):
    """And a guess settles nothing; it is not asked a second time."""
    at_the_sign.submit({"answer": "unsure"})
    assert answer_of(desk).sure == "guess"
    assert not at_the_sign.path.endswith("/once-more")


def test_no_asks_again(at_the_sign, desk):
    """The question is back, and what was said is gone."""
    at_the_sign.submit({"answer": "no"})
    assert answer_of(desk) is None
    assert step_of(at_the_sign.path) is not None


def test_no_shows_what_was_said(at_the_sign, desk):
    """On the page that is back, in its words, with the note, even after the desk was started
    anew; picked is nothing: whoever says "no" picks again."""
    said = at_the_sign.text.partition("You said: ")[2].partition(". Did you see")[0]
    at_the_sign.submit({"answer": "no"})
    path = at_the_sign.path
    desk.parts.bench._sessions.clear()
    at_the_sign.get(path)
    assert "Before, you said: " in at_the_sign.text
    assert said in at_the_sign.text.partition("Before, you said: ")[2]
    assert not re.findall("checked", at_the_sign.page.text.partition("How sure are you")[0])
    at_the_sign.submit({"answer": "unknown"})
    assert said not in at_the_sign.text


def test_nothing_picked_asks_once_more(at_the_sign, desk):
    at_the_sign.submit({})
    assert at_the_sign.status == 400
    assert "Pick one line." in at_the_sign.text
    assert answer_of(desk).sure == "guess"


def test_sent_twice_it_does_no_harm(at_the_sign, desk):
    """A second press of the button, or a second tab."""
    page = at_the_sign.path
    at_the_sign.submit({"answer": "yes"})
    at_the_sign.get(page)
    assert "moved=1" in str(at_the_sign.page.url) or "passed already" in at_the_sign.text
    assert answer_of(desk).sure == "confirmed"
