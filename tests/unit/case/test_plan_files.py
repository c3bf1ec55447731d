"""The plan in a case file: read, written, and what cannot be right on it."""

from __future__ import annotations

import pytest

from tests.unit.plans import larch_road
from walltriage.case.read import parse_case
from walltriage.case.write import case_text
from walltriage.errors import InputError

W1 = "{wall: w1, level: ground, along: front, off: 14 ft, from: 0, to: 22 ft}"
W2 = "{wall: w2, level: upstairs, along: front, off: 14 ft 3 in, from: 0 ft, to: 40 ft}"
WING = "{id: family, side: back, of: main, start: 24 ft, width: 16 ft, depth: 14 ft, levels: [ground], year: 1988}"  # noqa: E501


def refused(full, *changes) -> list[str]:
    with pytest.raises(InputError) as caught:
        parse_case(larch_road(*changes), "c.yaml", full.base.questions)
    return [str(problem) for problem in caught.value]


def test_written_as_read(full):
    text = larch_road((W1, W1.replace("22 ft}", "22 ft, openings: [[4 ft, 7 ft]]}")))
    case = parse_case(text, "c.yaml", full.base.questions)
    assert [end.inches for end in case.plan.line_of("w1").openings[0]] == [48, 84]
    again = parse_case(case_text(case), "c.yaml", full.base.questions)
    assert again.plan == case.plan
    assert again.plan.parts[1].year == 1988


POST = "{level: basement, left: 12 ft, front: 14 ft}"


def test_measured_posts_are_kept(full):
    text = larch_road((POST, POST.replace("}", ", size: 6x6, height: 7 ft, footing: 24 in}")))
    case = parse_case(text, "c.yaml", full.base.questions)
    post = next(post for post in case.plan.posts if post.size)
    assert (post.size, post.height.inches, post.footing.inches) == ("6x6", 84, 24)
    assert parse_case(case_text(case), "c.yaml", full.base.questions).plan == case.plan


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ("size: 6x7", "'6x7' is no size of a wood post; expected 4x4, 4x6, 6x6 or plies such as"),
        ("height: 40 ft", "a post of 40 ft; expected 1 ft to 20 ft"),
        ("footing: 2 in", "a footing of 2 in; expected 6 in to 8 ft"),
    ],
)
def test_a_post_that_cannot_be(full, given, told):
    (message,) = refused(full, (POST, POST.replace("}", f", {given}}}")))
    assert told in message
    assert message.startswith("c.yaml:")


def test_missing_lengths_stay_missing(full):
    text = larch_road((", to: 22 ft}", "}"), ("width: 16 ft, ", "width: unknown, "))
    case = parse_case(text, "c.yaml", full.base.questions)
    assert case.plan.line_of("w1").end is None
    assert case.plan.parts[1].width is None
    assert parse_case(case_text(case), "c.yaml", full.base.questions).plan == case.plan


@pytest.mark.parametrize(
    ("was", "now", "message"),
    [
        (W1, W1.replace("14 ft", "31 ft"),
         "c.yaml:13:47: wall 'w1' stands 31 ft from the front of 'main', which is only 28 ft deep; "
         "measure from the front again, or fix the size of 'main'"),
        (W1, W1.replace("to: 22 ft", "to: 44 ft"),
         "c.yaml:13:68: wall 'w1' reaches 44 ft from the left, but part 'main' is only 40 ft wide; "
         "measure from the left again, or fix the width of 'main'"),
        (W1, W1.replace("from: 0, to: 22 ft", "from: 22 ft, to: 3 ft"),
         "c.yaml:13:59: wall 'w1' runs from 22 ft to 3 ft, which is backward; "
         "give the end nearer to the left first"),
        (W2, W2.replace("upstairs, ", "upstairs, part: family, ").replace("40 ft}", "16 ft}"),
         "c.yaml:14:18: wall 'w2' is on level 'upstairs', but part 'family' has only ground; "
         "name another part, or add the level to that part's 'levels'"),
        ("{name: bath, level: ground, along: left, off: 22 ft, from: 14 ft, to: 28 ft}",
         "{name: bath, level: ground, along: front, off: 14 ft 2 in, from: 12 ft, to: 30 ft}",
         "c.yaml:17:7: walls 'w1' (14 ft from the front, 0 ft to 22 ft) and 'bath' (14 ft 2 in "
         "from the front, 12 ft to 30 ft) lie on each other for 10 ft; measure again how far off "
         "they are or where they end, or draw them as one"),
        (WING, WING.replace("24 ft", "41 ft"),
         "c.yaml:9:42: part 'family' begins 41 ft along the back of 'main', which is only 40 ft "
         "wide: they do not touch; measure from the left end of that side, or fix the width of "
         "'main'"),
        ("wall: w3", "wall: w9",
         "c.yaml:15:8: no wall 'w9' in this case; known: w1, w2, w3"),
        ("along: back", "along: north",
         "c.yaml:15:33: 'north' is not allowed for 'along'; expected front, back, left, right"),
        ("off: 14 ft 3 in", "of: 14 ft 3 in",
         "c.yaml:14:49: unknown key 'of' (did you mean 'off'?); expected part, along, off, "
         "from, to, wall, name, kind, level, openings"),
        ("tolerance: 3 in", "tolerance: soon",
         "c.yaml:4:3: 'soon' is not a length; expected a length such as 12 ft 6 in, 12'-6\", "
         "12.5 ft, 3.81 m or 381 cm"),
        ("off: 14 ft 3 in", "off: 14 ft ± 6 ft",
         "c.yaml:14:49: '14 ft ± 6 ft' is too rough to draw; expected up to 5 ft after ±"),
        ("off: 14 ft 3 in", "off: 14 ft ±",
         "c.yaml:14:49: '14 ft ±' is not a length; expected a length such as 12 ft 6 in, "
         "12'-6\", 12.5 ft, 3.81 m or 381 cm"),
        ("left: 12 ft, front: 14 ft", "left: 12 ft, front: 14 ft, footing: about 2 ft",
         "c.yaml:21:52: 'about 2 ft' is not measured; expected a length off a tape, or leave it "
         "out"),
        ("front: [10 ft, 13.5 ft]", "front: [10 ft, 33 ft]",
         "c.yaml:23:47: the stair opening reaches 33 ft from the front, but part 'main' is only "
         "28 ft deep; measure from the front again, or fix the depth of 'main'"),
        (W1, W1.replace("22 ft}", "22 ft, openings: [[4 ft, 7 ft], [18 ft, 24 ft]]}"),
         "c.yaml:13:79: an opening of wall 'w1' from 18 ft to 24 ft ends behind the wall, at "
         "22 ft; fix it, or where the wall ends"),
        (W1, W1.replace("22 ft}", "22 ft, openings: [[4 ft, 7 ft], [6 ft, 9 ft]]}"),
         "c.yaml:13:79: an opening of wall 'w1' from 6 ft to 9 ft lies in one that ends at 7 ft; "
         "fix one of the two"),
        (W1, W1.replace("22 ft}", "22 ft, openings: [[7 ft, 4 ft]]}"),
         "c.yaml:13:79: an opening of wall 'w1' from 7 ft to 4 ft runs backward; give the end "
         "nearer to the left or front first"),
        (W1, W1.replace("22 ft}", "22 ft, openings: 3 ft}"),
         "c.yaml:13:79: 'openings' is not a list; expected [[2 ft, 5 ft]]"),
        (W1, W1.replace("22 ft}", "22 ft, openings: [3 ft]}"),
         "c.yaml:13:90: '3 ft' is not a stretch; expected [2 ft, 12 ft]"),
        ("left: 12 ft, front: 14 ft", "left: 12 ft",
         "c.yaml:21:7: a post without a place; expected how far from the left and from the front"),
    ],
)  # fmt: skip
def test_refused_with_both_numbers(full, was, now, message):
    """The name, the two numbers that clash, and how to mend it."""
    assert refused(full, (was, now)) == [message]


def test_part_inside_another(full):
    told = refused(full, (WING, WING),
                   ("ridges:", "  - {id: porch, side: back, start: 30 ft, width: 8 ft, depth: 8 ft}"
                               "\n  ridges:"))  # fmt: skip
    assert told == [
        "c.yaml:10:7: part 'porch' lies 8 ft inside part 'family'; "
        "fix 'start' or a size, so that the parts only touch"
    ]


@pytest.mark.parametrize(
    "plan", ["[]", "3", "{}", "{levels: ground}", "{levels: [a], parts: [3]}",
             "{levels: [a], parts: [{id: m}], walls: {}}", "{levels: [a, a], parts: [{id: m}]}"],
)  # fmt: skip
def test_anything_else_is_refused_in_words(full, plan):
    text = f"schema: walltriage/case/1\nplan: {plan}\nwalls: []\n"
    with pytest.raises(InputError):
        parse_case(text, "c.yaml", full.base.questions)
