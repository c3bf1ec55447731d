"""The plan built while asking, in a real terminal."""

from __future__ import annotations

import shutil
from typing import get_args

import pytest

from tests.interview.person import SMALL_RULES, Person
from walltriage.case.plan import Side
from walltriage.case.read import read_case
from walltriage.knowledge.load import load_knowledge

RELATIONS = """
settings:
  facing_share: 0.5
  in_line: 1 ft
  long_line_share: 0.75
  joist_depth: 1 ft
  hall_least: 2 ft 6 in
  hall_most: 5 ft 6 in
  near_opening: 2 ft
  near_edge: 2 ft
  plain_for_sure: 8 ft
  plain_at_least: 4 ft
sureness: [{sure: fairly}]
answers:
  - relation: length
    question: wall_length
    measured: true
    source: "common practice"
    limits: ["As drawn."]
"""


@pytest.fixture(scope="module")
def rules(tmp_path_factory):
    """The small rules, with one relation: how long a wall is."""
    folder = tmp_path_factory.mktemp("rules") / "planned"
    shutil.copytree(SMALL_RULES, folder)
    (folder / "relations.yaml").write_text(RELATIONS)
    return folder


@pytest.fixture
def person(tmp_path, rules):
    started = []

    def start(*options):
        started.append(Person(tmp_path, "--for", "trade", *options, rules=rules))
        return started[-1]

    yield start
    for one in started:
        one.child.close(force=True)


OUTLINE = ("1", "2", "1", "36 ft", "26 ft", "1", "1", "1")  # yes, two levels, by tape, ...


def begin(one: Person) -> str:
    one.at_prompt()
    for line in ("3", "Alder Street"):
        one.type(line)
    return one.shown


def to_the_wall(one: Person) -> None:
    """Say "I don't know" to the house until the wall is asked for."""
    while "What do you call it?" not in one.shown:
        one.type("d")


def test_three_walls_drawn_one_after_another(person, rules, tmp_path):
    """Outline, walls in question, an interior wall, "all drawn": each seen at once, all saved."""
    one = person("--save", str(tmp_path / "alder.yaml"))
    assert "sketch a simple plan" in begin(one)
    for line in OUTLINE[:-1]:
        one.type(line)
    assert "26 ft deep" in one.shown
    assert "ridge" in one.shown
    assert "┏" in "".join(one.screen.display), "the outline's top has scrolled away"
    one.type("2")  # a slip: the outline is asked again
    for line in OUTLINE:
        one.type(line)
    to_the_wall(one)
    one.type("kitchen to dining")
    for line in ("1", "1", "13 ft", "0", "20 ft"):
        one.type(line)
    assert "▓▓ wall1 ▓▓" in one.everything
    assert "Is the wall drawn right?" in one.shown
    for line in ("1", "3", "1", "2", "20 ft", "0", "13 ft"):  # right; draw another, crossing it
        one.type(line)
    assert "interior wall 1: 20 ft from the left, 0 to 13 ft from the front" in one.everything
    one.type("1")
    one.type("2")
    case = read_case(tmp_path / "alder.yaml", load_knowledge(rules).questions)
    assert case.plan.whole == ("ground",)
    assert [line.wall for line in case.plan.walls] == ["wall1", ""]
    assert case.plan.line_of("wall1").along in get_args(Side)
    assert "How long is the wall" not in one.everything  # the plan has told it


def test_back_leads_to_the_page_before_and_keeps_what_was_drawn(person, tmp_path, rules):
    """From what else there is to draw to the wall just drawn; from its first page to its name."""
    one = person("--save", str(tmp_path / "alder.yaml"))
    begin(one)
    for line in OUTLINE:
        one.type(line)
    to_the_wall(one)
    one.type("kitchen to dining")
    assert "Press Enter for: kitchen to" in " ".join(one.type("b").split())
    assert "On which level" in " ".join(one.type("").split())
    for line in ("1", "1", "13 ft", "0", "20 ft"):
        one.type(line)
    assert "What else can you draw" in one.type("1")
    assert "Is the wall drawn right?" in one.type("b")
    assert "What else can you draw" in one.type("1")
    case = read_case(tmp_path / "alder.yaml", load_knowledge(rules).questions)
    assert case.plan.line_of("wall1") is not None
    assert case.walls[0].name == "kitchen to dining"


def test_a_house_two_inches_wide_is_refused_at_once(person, tmp_path):
    """On the page where it was typed, not after the ridge."""
    one = person("--save", str(tmp_path / "a.yaml"))
    begin(one)
    for line in (*OUTLINE[:3], "2 in"):
        one.type(line)
    assert "2 in: expected 2 ft to 200 ft." in one.shown
    one.type("32 ft")
    assert "How deep is it, from front to back?" in one.shown


def test_a_number_that_cannot_be_is_told_and_asked_again(person, tmp_path):
    one = person("--save", str(tmp_path / "a.yaml"))
    begin(one)
    for line in OUTLINE:
        one.type(line)
    to_the_wall(one)
    one.type("middle wall")
    for line in ("1", "1", "31 ft", "0", "20 ft"):
        one.type(line)
    told = " ".join(one.everything.split())
    assert (
        "Wall 'middle wall' stands 31 ft from the front of 'main part', "
        "which is only 26 ft deep" in told
    )
    assert "That was not drawn." in told
    assert "On which level is this wall?" in one.shown
    for line in ("1", "1", "thirteen"):
        one.type(line)
    assert "'thirteen' is not a length" in " ".join(one.shown.split())
    one.type("b")  # back to the direction, with what was typed before it kept
    assert "Which way does this wall run?" in one.shown


def test_no_plan_for_who_does_not_want_to_measure(person):
    one = person()
    begin(one)
    one.type("2")
    to_the_wall(one)
    one.type("kitchen wall")
    assert "The plan" not in one.shown


def test_lengths_can_stay_open(person, tmp_path, rules):
    """ "I don't know" everywhere: nothing is drawn, and nothing breaks."""
    one = person("--save", str(tmp_path / "open.yaml"))
    begin(one)
    for line in ("1", "1", "3", "d", "d", "1", "5", "1"):
        one.type(line)
    assert "nothing to draw yet" in one.everything
    to_the_wall(one)
    one.type("some wall")
    for line in ("1", "d", "d", "d"):
        one.type(line)
    case = read_case(tmp_path / "open.yaml", load_knowledge(rules).questions)
    assert case.plan.line_of("wall1").off is None


def test_a_wall_named_when_the_line_broke_is_drawn_on_resuming(person, tmp_path, rules):
    """Named, not drawn, nothing answered about it: the plan is asked for once more."""
    path = tmp_path / "a.yaml"
    one = person("--save", str(path))
    begin(one)
    for line in OUTLINE:
        one.type(line)
    to_the_wall(one)
    one.type("kitchen wall")
    one.last("q")
    again = person("--resume", str(path))
    assert "On which level is this wall?" in again.at_prompt()
    for line in ("1", "1", "13 ft", "0", "20 ft", "1"):
        again.type(line)
    case = read_case(path, load_knowledge(rules).questions)
    assert case.plan.line_of("wall1") is not None
