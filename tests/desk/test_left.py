"""How much is left, as the client's page says it, against how much still came."""

from __future__ import annotations

import re
from dataclasses import replace
from statistics import median

import pytest

pytest.importorskip("sqlalchemy")

from tests.desk.test_client import NAMES, begun
from tests.record_transcripts import HOUSES, look_at, told
from walltriage.case.model import Wall
from walltriage.case.read import read_case
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session

pytestmark = pytest.mark.extras


def interview(full, name):
    """What was said to be left on each page about a house's first wall, and what came."""
    person = read_case(HOUSES / name, full.base.questions)
    person = replace(person, walls=(replace(person.walls[0], id="wall1"),))
    case = person.__class__(name=person.name, role=person.role, reach=person.reach,
                            walls=(Wall("wall1", person.walls[0].name or "a"),))  # fmt: skip
    session, said = Session(Planner(full), case), []
    while session.step is not None:
        said.append(session.left.in_all + 1)  # this page included
        if session.page is not None:
            look_at(session, person)
            continue
        answer = told(person, session.step.subject, session.step.question)
        session.answer(answer.given, answer.sure, answer.note)
    return [(n, len(said) - at) for at, n in enumerate(said)]


def test_about_as_many_come_as_are_told(full):
    """Over the demo houses: half of all pages are within 5, and "about 2" is never far off."""
    pages = [page for name in NAMES for page in interview(full, name)]
    assert median(abs(n - left) for n, left in pages) <= 5
    last = [left for n, left in pages if n <= 2]
    assert last
    assert sorted(last)[int(0.9 * len(last))] <= 6


def test_it_stands_on_the_page(desk):
    """With how many walls there are besides."""
    browser = begun(desk, walls=("one", "two", "three"))
    assert re.search(
        r"0 answered. About \d+ left in this place, \d+ in all. Then 2 more walls.", browser.text
    )
    browser.submit({"answer": browser.options("answer")[0]})
    assert re.search(r"[1-9] answered. About \d+ left", browser.text)
    browser.follow("Back")
    assert "left" not in re.search(r"0 answered.*?How to look", browser.text)[0]
