"""Three walls of one house, from the first page to the end, at a real terminal."""

from __future__ import annotations

import pytest

from tests.interview.answering import PLAIN_HOUSE, Answering
from tests.interview.person import Person
from walltriage.case.read import read_case

# What is typed on each page that is no question of the knowledge base, in order.
BEFORE = (
    ("How far can you go today?", "3"),
    ("What should I call the house?", "Alder Street"),
    ("Shall we sketch a simple plan", "1"),
    ("Which levels does the house have?", "Crawl space and main floor"),
    ("How will you measure?", "1"),
    ("How wide is the main part", "13.4 m"),
    ("How deep is it, from front to back?", "28 ft"),
    ("Is there a wing or an addition?", "1"),
    ("On the plan, which way does the main ridge", "1"),
    ("Is the house drawn right?", "1"),
)
FIRST_WALL = (
    ("What do you call it?", "hall, street side"),
    ("On which level is this wall?", "main floor"),
    ("Which way does this wall run?", "1"),
    ("How far is it from the front", "about 12 ft"),
    ("Where does it begin", "0"),
    ("And where does it end", "36 ft"),
    ("Is the wall drawn right?", "1"),
    ("What else can you draw", "A beam, or a long boxed-in strip that could hide one"),
    ("On which level is the beam?", "crawl space"),
    ("Which way does the beam run?", "1"),
    ("How far is the beam from the front", "14 ft"),
    ("Where does the beam begin", "0"),
    ("And where does the beam end", "50 ft"),  # longer than the house: asked again
    ("On which level is the beam?", "crawl space"),
    ("Which way does the beam run?", "1"),
    ("How far is the beam from the front", "14 ft"),
    ("Where does the beam begin", "0"),
    ("And where does the beam end", "43 ft"),
    ("Is it drawn right?", "1"),
    ("What else can you draw", "A door or a wider opening in a wall of that level"),
    ("Where does the opening begin", "7 m"),
    ("And where does the opening end", "8 m"),
    ("Is it drawn right?", "1"),
    ("What else can you draw", "Which way joists run, where you have seen them"),
    ("Where did you see the joists?", "1"),
    ("Which way do they run?", "2"),
    ("Do they run that way over all", "1"),
    ("Is it drawn right?", "1"),
    ("What else can you draw", "A post"),
    ("On which level is the post?", "crawl space"),
    ("How far is the post from the left", "20 ft"),
    ("And how far from its front?", "20 ft"),
    ("Is it drawn right?", "2"),  # a slip: once more
    ("On which level is the post?", "crawl space"),
    ("How far is the post from the left", "20 ft"),
    ("And how far from its front?", "14 ft"),
    ("Is it drawn right?", "1"),
    (
        "What else can you draw",
        "All full-height interior walls on this level are drawn now (main floor)",
    ),
    ("What else can you draw", "1"),
)
AFTER_A_WALL = (("What next?", "Judge another wall of this house"),)
SECOND_WALL = (
    ("What do you call it?", "hall, garden side"),
    ("On which level is this wall?", "main floor"),
    ("Which way does this wall run?", "1"),
    ("How far is it from the front", "15 ft 6 in"),
    ("Where does it begin", "0"),
    ("And where does it end", "36 ft"),
    ("Is the wall drawn right?", "1"),
)
THIRD_WALL = (
    ("What do you call it?", "bath"),
    ("On which level is this wall?", "main floor"),
    ("Which way does this wall run?", "2"),
    ("How far is it from the left", "6 m"),
    ("Where does it begin", "0"),
    ("And where does it end", "12 ft"),
    ("Is the wall drawn right?", "1"),
)
AT_THE_END = (
    ("What next?", "Fix the plan, or draw more on it"),
    ("What needs fixing on the plan?", "Draw bath again"),
    ("On which level is this wall?", "b"),  # thought better of it: the old line stays
    ("What needs fixing on the plan?", "Draw hall, garden side again"),
    ("On which level is this wall?", "main floor"),
    ("Which way does this wall run?", "1"),
    ("How far is it from the front", "16 ft"),
    ("Where does it begin", "0"),
    ("And where does it end", "36 ft"),
    ("Is the wall drawn right?", "1"),
    ("What needs fixing on the plan?", "1"),
    ("What next?", "What if several of these walls came out together?"),
    ("Which of these would you take out?", "1 7"),
    ("Which of these would you take out?", "1, 2"),
    ("What next?", "Finish"),
)


class Driver:
    """Answers the questions of the rules by itself, and plan pages by the script."""

    def __init__(self, one: Person, base) -> None:
        self.one, self.person = one, Answering(base, PLAIN_HOUSE)
        self.asks = {" ".join(q.entry.ask.split()): q for q in base.questions.values()}
        self.asked: list[str] = []

    def follow(self, script, last=False) -> None:
        for number, (page, line) in enumerate(script, 1):
            self.until(page)
            if last and number == len(script):
                self.one.last(line)
            else:
                self.one.type(line)

    def until(self, page: str) -> None:
        """Answer whatever is asked before the page is there."""
        for _ in range(300):
            shown = " ".join(self.one.shown.split())
            at, ask = max(((shown.rfind(ask), ask) for ask in self.asks), default=(-1, ""))
            several = self.person.typed_on(self.one.shown)
            if shown.rfind(page) > max(at, *(shown.rfind(g.ask) for g in self.person.base.glances)):
                return
            if "Press Enter for more" in shown[-90:]:
                self.one.type("s")
            elif "Number to change an answer; Enter" in shown[-90:]:
                self.one.type("")
            elif "Did you see just that yourself" in shown.rpartition(" > ")[2]:
                self.one.type("1")
            elif "Can you look once more?" in shown.rpartition(" > ")[2]:
                self.one.type("2")  # what was not known still is not
            elif several is not None:
                self.one.type(several)
            elif at >= 0:
                self.asked.append(self.asks[ask].id)
                self.one.type(self.person.typed(self.asks[ask]))
            else:
                pytest.fail(f"neither '{page}' nor a question:\n{self.one.shown}")
        pytest.fail(f"never came to '{page}':\n{self.one.shown}")


def test_three_walls_to_the_end(full, tmp_path):
    path = tmp_path / "alder.yaml"
    one = Person(tmp_path, "--for", "trade", "--save", str(path), rules=None)
    try:
        one.at_prompt()
        drive = Driver(one, full.base)
        for script in (BEFORE, FIRST_WALL, AFTER_A_WALL, SECOND_WALL, AFTER_A_WALL, THIRD_WALL):
            drive.follow(script)
        drive.follow(AT_THE_END, last=True)
        told = " ".join(one.everything.split())
        assert one.status == 0
    finally:
        one.child.close(force=True)
    assert "A beam 'beam 1' reaches" not in told
    assert "is only 13.4 m wide" in told
    assert "Type numbers from 1 to 3" in told
    set_of_two = "hall, street side, hall, garden side"
    assert f"If these came out together: {set_of_two}" in told
    case = read_case(path, full.base.questions)
    assert [wall.name for wall in case.walls] == ["hall, street side", "hall, garden side", "bath"]
    assert [post.front.given for post in case.plan.posts] == ["14 ft"]
    assert [beam.end.given for beam in case.plan.beams] == ["43 ft"]
    assert [end.given for end in case.plan.line_of("wall1").openings[0]] == ["7 m", "8 m"]
    assert case.plan.joists[0].seen_from == "attic"
    assert case.plan.line_of("wall1").off.given == "about 12 ft"
    assert [case.plan.line_of(f"wall{n}").off.given for n in (2, 3)] == ["16 ft", "6 m"]
    assert len(case.outcome["walls"]) == 3
    # the plan and the first walls have told what is not asked again
    assert len(drive.asked) == len(set(drive.asked)) + sum(
        drive.asked.count(q) - 1 for q in set(drive.asked) if full.base.questions[q].scope == "wall"
    )
    known = {"house_width", "wall_length", "hall_wall", "attic_joist_run", "wall_level",
             "below_wall", "middle_support", "levels_in_house"}  # fmt: skip
    assert not known & set(drive.asked)
