"""A plan drawn in the browser: by numbers as at a terminal, by pointing, and by people who try."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from tests.desk.browser import X, step_of
from tests.desk.test_client import case_in, entries
from tests.unit.interview.test_plan_asked import Scripted
from walltriage.case.geometry import Layout
from walltriage.case.plan_write import plan_data
from walltriage.desk.web.plan_picture import SIZES
from walltriage.interview.form import Form
from walltriage.interview.plan_house import outline
from walltriage.interview.plan_things import wall_line
from walltriage.interview.replies import understand
from walltriage.report.drawing import WIDTH
from walltriage.report.plan import PlanSheet
from walltriage.report.plan_of_house import level_view

OUTLINE = [
    ("Which levels", "ground"), ("How will you measure", "tape"), ("How wide", "40 ft"),
    ("How deep", "28 ft"), ("Is there a wing", "none"),
    ("On the plan, which way does the main ridge", "front"),
]  # fmt: skip
WALL = [("Which way", "front"), ("How far", "14 ft"), ("Where", "0"), ("And where", "40 ft")]


class AtTerminal(Scripted):
    """Picks choices by their number, as people type them."""

    def ask(self, page):
        asks, said = self.answers.pop(0)
        assert page.ask.startswith(asks), (page.ask, asks)
        if page.choices:
            said = str([choice.value for choice in page.choices].index(said) + 1)
        return understand(said, page)


def drawn_at_a_terminal():
    """The plan that the same answers make there."""
    (plan,) = Form(AtTerminal(*OUTLINE), "outline").fill(outline)
    (line,) = Form(AtTerminal(*WALL), "wall").fill(lambda form: wall_line(form, plan, "wall1"))
    return plan.with_wall(line)


def drawing(desk, **facts):
    """A client who begins by drawing."""
    key, token = desk.house(**({"walls": ("kitchen to dining room",)} | facts))
    browser = desk.browser()
    browser.get(f"/c/{token}")
    browser.submit({"reach": "2", "draws": "yes"})
    assert browser.path == f"/c/{token}/plan"
    return key, browser


def fill(browser, answers):
    """Answer page after page; each is named by how its question begins."""
    for asks, said in answers:
        title = heading(browser)
        assert title.startswith(asks), (title, asks)
        typed = browser.fields().get("answer") == "typed"
        browser.submit({"typed": said} if typed and said != "unknown" else {"answer": said})
        assert browser.status == 200, browser.text


def heading(browser):
    """What is asked: under the drawing where one can point, else at the top."""
    return next("".join(item.itertext()) for item in browser.tree.iter() if item.get("id") == "ask")


def outlined(browser):
    browser.follow("Draw it")
    fill(browser, OUTLINE)
    assert browser.path.endswith("/plan"), browser.path


def point(browser, *places, wide=SIZES[1], level="ground"):
    """Click places of the house, in inches from its front left corner, on the picture shown."""
    for x, y in places:
        images = [i for i in browser.form().iter(f"{X}input") if i.get("type") == "image"]
        assert [int(i.get("width")) for i in images] == list(SIZES)
        plan = point.plan(browser)
        right, down = PlanSheet(level_view(plan, level, {})).at((x, -y))
        scale = wide / WIDTH
        browser.submit({f"point{wide}.x": f"{right * scale:.0f}",
                        f"point{wide}.y": f"{down * scale:.0f}"})  # fmt: skip


@pytest.fixture
def pointing(desk):
    """A client with an outline, and a way for ``point`` to know where the house is drawn."""
    key, browser = drawing(desk)
    outlined(browser)
    point.plan = lambda _: case_in(desk, key).plan
    return key, browser


def test_by_numbers_it_is_the_plan_of_the_terminal(desk):
    """The same pages, in the same words, with the same answers: the same plan."""
    key, browser = drawing(desk)
    outlined(browser)
    browser.follow("Draw kitchen to dining room")
    fill(browser, WALL)
    assert "is drawn" in browser.text
    assert plan_data(case_in(desk, key).plan) == plan_data(drawn_at_a_terminal())


def test_the_plan_answers_looks_and_moves_the_finding(desk, full):
    """What can be worked out from the plan is not asked, and the desk judges with it."""
    key, browser = drawing(desk)
    outlined(browser)
    browser.follow("Draw kitchen to dining room")
    fill(browser, WALL)
    browser.submit({"do": "go"})
    assert step_of(browser.path)
    case = case_in(desk, key)
    asked = {step.question for step in case.asked}
    worked_out = full.wall(case, case.walls[0])
    without = full.wall(replace(case, plan=None), case.walls[0])
    assert not asked
    assert worked_out.probability != without.probability
    engineer = desk.engineer()
    engineer.get(f"/desk/house/{key}")
    assert "Main floor; lengths" in engineer.text


def test_a_wall_by_two_points(pointing, desk):
    """Across the house, nearly at both outside walls: it ends on them, and counts as by eye."""
    key, browser = pointing
    browser.follow("Draw kitchen to dining room")
    point(browser, (6, 150))
    assert "Now point at its other end" in browser.text
    point(browser, (474, 158))
    assert browser.path.endswith("/plan"), browser.text
    plan = case_in(desk, key).plan
    (line,) = plan.walls
    (segment,) = Layout(plan).walls
    assert (line.along, line.wall) == ("front", "wall1")
    assert (segment.lo, segment.hi) == (0, 480)
    assert abs(segment.at - 154) <= 3 + 480 / SIZES[1]
    assert plan.tolerance.inches == 3
    assert [end.out_in for end in (line.off, line.start, line.end)] == [30, 30, 30]
    browser.follow("Another full-height interior wall")
    fill(
        browser, [("Which way", "left"), ("How far", "20 ft"), ("Where", "1 ft"), ("And", "11 ft")]
    )
    assert case_in(desk, key).plan.walls[1].off.out_in == 0
    assert Layout(case_in(desk, key).plan).loosest_in == 30


def test_what_is_typed_as_about_so_far_is_what_is_pointed_at(pointing, desk):
    """ "About" typed and a finger on the drawing make the same plan."""
    key, browser = pointing
    browser.follow("Draw kitchen to dining room")
    point(browser, (6, 150), (474, 150))
    by_finger = case_in(desk, key).plan
    off = by_finger.walls[0].off.given.removeprefix("about ")
    browser.get(browser.path + "/wall:wall1")
    fill(browser, [("Which way", "front"), ("How far", f"About {off}"),
                   ("Where", "about 0 ft"), ("And", "~40 ft")])  # fmt: skip
    typed = case_in(desk, key).plan
    assert Layout(typed).walls[0].at == Layout(by_finger).walls[0].at
    assert [e.out_in for e in (typed.walls[0].off, typed.walls[0].end)] == [30, 30]
    assert "about" in browser.text.lower()


def test_a_second_point_that_misses_leaves_the_first(pointing, desk):
    key, browser = pointing
    browser.follow("Draw kitchen to dining room")
    point(browser, (6, 150), (700, 150))
    assert browser.status == 400
    assert browser.fields()["first"]
    point(browser, (474, 158))
    assert len(case_in(desk, key).plan.walls) == 1


@pytest.mark.parametrize("wide", SIZES)
def test_every_size_of_the_picture_tells_the_same_place(wide, pointing, desk):
    key, browser = pointing
    browser.follow("Draw kitchen to dining room")
    point(browser, (240, 0), (240, 330), wide=wide)
    (segment,) = Layout(case_in(desk, key).plan).walls
    assert segment.axis == "y"
    assert abs(segment.at - 240) <= 6
    assert (segment.lo, segment.hi) == (0, 336)


def test_things_round_a_wall_by_pointing(pointing, desk):
    """A post at one point, a beam and a wall by two, an opening between two, stairs by corners."""
    key, browser = pointing
    browser.follow("Draw kitchen to dining room")
    point(browser, (0, 168), (480, 168))
    browser.follow("A post")
    point(browser, (120, 84))
    browser.follow("A beam")
    point(browser, (120, 84), (480, 84))
    browser.follow("Another full-height interior wall")
    point(browser, (240, 168), (240, 336))
    browser.follow("A door or a wider opening")
    fill(browser, [("In which wall", "0")])
    point(browser, (60, 168), (96, 168))
    plan = case_in(desk, key).plan
    layout = Layout(plan)
    assert [(p.left.inches, p.front.inches) for p in plan.posts] == [(120, 84)]
    assert [(b.lo, b.hi, b.at) for b in layout.beams] == [(120, 480, 84)]
    assert [(w.axis, w.lo, w.hi) for w in layout.walls] == [("x", 0, 480), ("y", 168, 336)]
    assert [(a.inches, b.inches) for a, b in plan.walls[0].openings] == [(60, 96)]


def test_by_keyboard_a_picture_tells_no_place(pointing):
    """Enter on the picture sends its corner: the page says what to do, nothing is drawn."""
    _, browser = pointing
    browser.follow("Draw kitchen to dining room")
    browser.submit({f"point{SIZES[0]}.x": "0", f"point{SIZES[0]}.y": "0"})
    assert browser.status == 400
    assert "Point inside the main part of the house" in browser.text
    fill(browser, WALL)
    assert browser.path.endswith("/plan")


def test_what_cannot_be_right_is_told_and_not_kept(pointing, desk):
    """A wall beyond the house: both numbers in the message, the last page still there."""
    key, browser = pointing
    browser.follow("Draw kitchen to dining room")
    fill(browser, [*WALL[:1], ("How far", "13 ft"), ("Where", "0")])
    browser.submit({"typed": "90 ft"})
    assert browser.status == 400
    assert "'kitchen to dining room' reaches 90 ft" in browser.text
    assert "only 40 ft wide" in browser.text
    assert case_in(desk, key).plan.walls == ()
    browser.submit({"typed": "40 ft"})
    assert browser.path.endswith("/plan")


@pytest.mark.parametrize("said", ["", "thirteen", "-4 ft", "12 cubits"])
def test_what_is_no_length_is_told_on_the_page(said, pointing):
    _, browser = pointing
    browser.follow("Draw kitchen to dining room")
    fill(browser, WALL[:1])
    browser.submit({"typed": said})
    assert browser.status == 400
    assert browser.fields()["typed"] == said
    assert heading(browser).startswith("How far")


def test_who_leaves_goes_on_where_they_were(pointing, desk, desks):
    """Half a wall, another phone, a desk started anew: the same page."""
    _, browser = pointing
    browser.follow("Draw kitchen to dining room")
    fill(browser, WALL[:2])
    again = desks.make(desk.parts.settings.database).browser()
    again.get(browser.path.rsplit("/plan", 1)[0])
    assert again.path.endswith("/plan")
    again.follow("Continue what you were drawing")
    assert heading(again) == heading(browser)


def test_back_through_the_pages_of_a_thing(pointing):
    _, browser = pointing
    browser.follow("Draw kitchen to dining room")
    fill(browser, WALL[:2])
    at = heading(browser)
    browser.submit({"do": "back"})
    fill(browser, WALL[1:2])
    assert heading(browser) == at
    for _ in range(3):
        browser.submit({"do": "back"})
    assert browser.path.endswith("/plan")


def test_sent_twice_it_is_drawn_once(pointing, desk):
    """The last page of a post and of a wall, twice, as on a weak line."""
    key, browser = pointing
    browser.follow("A post")
    fill(browser, [("How far", "10 ft")])
    last, fields = browser.page, browser.fields() | {"typed": "7 ft"}
    for _ in range(2):
        browser.page = last
        browser.submit(fields)
        assert browser.status == 200
    assert len(case_in(desk, key).plan.posts) == 1
    browser.follow("Another full-height interior wall")
    fill(browser, [*WALL[:3]])
    last, fields = browser.page, browser.fields() | {"typed": "40 ft"}
    for _ in range(2):
        browser.page = last
        browser.submit(fields)
        assert browser.status == 200, browser.text
    assert len(case_in(desk, key).plan.walls) == 1


def test_the_browsers_back_button_and_a_second_tab(pointing, desk):
    """An earlier page sent again goes on from there; two tabs draw two things, each its own."""
    key, browser = pointing
    browser.follow("Draw kitchen to dining room")
    fill(browser, WALL[:1])
    early = browser.page
    fill(browser, WALL[1:3])
    browser.page = early
    browser.submit({"typed": "20 ft"})
    fill(browser, WALL[2:])
    assert case_in(desk, key).plan.walls[0].off.inches == 240
    base = browser.path
    browser.get(base + "/more:ground:post")
    fill(browser, [("How far", "10 ft")])
    tab = browser.page
    browser.get(base + "/more:ground:beam")
    fill(browser, WALL[:1])
    browser.page = tab
    browser.submit({"typed": "7 ft"})
    assert len(case_in(desk, key).plan.posts) == 1


def test_things_are_taken_away_and_everything_stays_on_record(pointing, desk):
    key, browser = pointing
    browser.follow("Draw kitchen to dining room")
    fill(browser, WALL)
    mark = next(i for i in browser.tree.iter(f"{X}input") if i.get("name") == "mark")
    path = browser.path
    for _ in range(2):
        browser.page = browser.client.post(path, data={"do": "away", "mark": mark.get("value")})
        assert browser.status == 200
    assert case_in(desk, key).plan.walls == ()
    browser.page = browser.client.post(path, data={"do": "forget"})
    assert case_in(desk, key).plan is None
    kept = [entry for entry in entries(desk) if entry.question == "plan"]
    assert [len(json.loads(e.value).get("walls", ())) for e in kept[:-1]] == [0, 1, 0]
    assert kept[-1].value == "none"


def test_a_new_outline_keeps_what_is_on_it_or_is_refused(pointing, desk):
    """A smaller house than a wall in it: told, and nothing lost."""
    key, browser = pointing
    browser.follow("Draw kitchen to dining room")
    fill(browser, WALL)
    before = case_in(desk, key).plan
    browser.follow("Enter the sizes and the roof again")
    smaller = [(a, "20 ft" if a == "How wide" else said) for a, said in OUTLINE]
    fill(browser, smaller[:-1])
    browser.submit({"answer": smaller[-1][1]})
    assert browser.status == 400
    assert "only 20 ft wide" in browser.text
    assert case_in(desk, key).plan == before
    browser.get(browser.path)
    for _ in range(len(OUTLINE)):
        if "/plan/" in browser.path:
            browser.submit({"do": "back"})
    browser.follow("Enter the sizes and the roof again")
    wider = [(a, "42 ft" if a == "How wide" else said) for a, said in OUTLINE]
    fill(browser, wider)
    plan = case_in(desk, key).plan
    assert plan.parts[0].width.inches == 504
    assert plan.walls == before.walls


@pytest.mark.parametrize(
    "of",
    ["wall:wall9", "wall:house", "more:attic:post", "more:ground:stairs", "nonsense", "more:ground",
     "outline:", "wall:", "more::post", "%00", "..", "wall:wall1:x"],
)  # fmt: skip
def test_what_cannot_be_drawn_leads_to_the_plan(of, pointing):
    _, browser = pointing
    base = browser.path
    for send in (browser.client.get, browser.client.post):
        page = send(f"{base}/{of}")
        assert page.status_code in (200, 404)
        assert "Something went wrong" not in page.text


@pytest.mark.parametrize(
    "form",
    [
        {"so_far": "[" * 3000}, {"so_far": "null"}, {"so_far": '{"a":1}'}, {"so_far": "[1,2]"},
        {"so_far": json.dumps(["x"] * 500)}, {"so_far": '["front"]', "answer": "unknown"},
        {"so_far": '["front","13 ft"]', "point330.x": "100", "point330.y": "100"},
        {"point330.x": "1e9", "point330.y": "nan"}, {"point560.x": "99999", "point560.y": "-4"},
        {"point264.x": "100"}, {"first": "9999999,1", "point330.x": "100", "point330.y": "100"},
        {"first": "-999999,-999999", "point330.x": "150", "point330.y": "100"},
        {"do": "back", "so_far": '["sideways","x"]'}, {"do": "back", "so_far": "[null,null,null]"},
        {"answer": "front'\"><script>alert(1)</script>"},
        {"typed": "\x00\x1b[2J", "so_far": '["front"]'},
    ],
)  # fmt: skip
def test_forms_that_nobody_was_given_do_no_harm(form, pointing, desk):
    """Whatever is sent: a page, the plan as it was, and the house still to be read."""
    key, browser = pointing
    before = case_in(desk, key).plan
    page = browser.client.post(f"{browser.path}/wall:wall1", data=form)
    assert page.status_code in (200, 400)
    assert "<script" not in page.text
    assert "Something went wrong" not in page.text
    assert case_in(desk, key).plan == before
    assert browser.get(browser.path).status_code == 200


def test_a_plan_has_a_limit(pointing, desk):
    """Posts without end: told at some number, and the case can still be read."""
    key, browser = pointing
    base = browser.path
    for n in range(90):
        so_far = json.dumps([f"{n // 10 + 1} ft"])
        page = browser.client.post(
            f"{base}/more:ground:post", data={"so_far": so_far, "typed": f"{n % 10 + 1} ft"}
        )
        if page.status_code == 400:
            break
    assert "more than 80 things" in page.text
    assert len(case_in(desk, key).plan.posts) == 80


def test_the_picture_is_an_image_of_the_house_alone(pointing, desk):
    """An SVG under a policy of its own, of this link's house only, with the first point on it."""
    _, browser = pointing
    base = browser.path.removesuffix("/plan")
    page = browser.client.get(f"{base}/plan-picture/ground?at=120,84")
    assert page.headers["content-type"].startswith("image/svg+xml")
    assert "script" not in page.text
    assert ">first<" in page.text
    assert "sandbox" in page.headers["content-security-policy"]
    assert browser.client.get(f"{base}/plan-picture/attic").status_code == 404
    assert browser.client.get(f"{base}/plan-picture/ground?at=x").status_code == 200


def test_names_of_walls_are_text_in_pictures(desk):
    """A wall called like markup, drawn: nothing of it is markup."""
    key, browser = drawing(desk, walls=("<script>alert(1)</script>&",))
    outlined(browser)
    browser.get(browser.path + "/wall:wall1")
    fill(browser, WALL)
    base = browser.path.removesuffix("/plan")
    assert case_in(desk, key).plan.walls
    for page in (browser.page, browser.client.get(f"{base}/plan-picture/ground")):
        assert "<script" not in page.text


def test_without_a_size_the_plan_is_words_and_numbers(desk):
    """A house nobody could measure: no drawing to point at, the numbers are still asked."""
    _, browser = drawing(desk)
    browser.follow("Draw it")
    fill(browser, [(a, "unknown" if a == "How wide" else said) for a, said in OUTLINE])
    assert "listed but not drawn" in browser.text
    browser.follow("Draw kitchen to dining room")
    assert not [i for i in browser.form().iter(f"{X}input") if i.get("type") == "image"]
    fill(browser, WALL)
    assert "is drawn" in browser.text


def test_a_wall_added_later_is_offered_to_be_drawn(pointing, desk):
    _, browser = pointing
    base = browser.path.removesuffix("/plan")
    browser.get(f"{base}/end")
    browser.submit({"name": "den to hall"}, number=1)
    browser.get(f"{base}/plan")
    assert "Draw den to hall" in browser.text
