"""Answers that were given together, told by the order of their steps."""

from __future__ import annotations

from walltriage.case.model import HOUSE, Step
from walltriage.case.pages import page_around, pages

ONE, HOUSE_TOO, MORE = Step("w1", "a", "p"), Step(HOUSE, "h", "p"), Step("w1", "b", "p")
OTHER, ALONE, AGAIN = Step("w2", "a", "p"), Step("w1", "c"), Step("w1", "d")
STEPS = (ONE, HOUSE_TOO, MORE, OTHER, ALONE, AGAIN)


def test_a_page_is_about_one_wall_and_its_house():
    assert pages(STEPS) == [(ONE, HOUSE_TOO, MORE), (OTHER,), (ALONE,), (AGAIN,)]


def test_what_the_house_is_asked_on_a_wall_s_first_line():
    assert pages((HOUSE_TOO, ONE, OTHER)) == [(HOUSE_TOO, ONE), (OTHER,)]


def test_the_page_around_a_step():
    assert page_around(STEPS, MORE) == (ONE, HOUSE_TOO, MORE)
    assert page_around(STEPS, OTHER) == (OTHER,)
    assert page_around(STEPS, AGAIN) == (AGAIN,)
    assert page_around(STEPS, Step("w2", "z")) == ()
