"""Drawings: sound SVG with text alternatives, told by pattern, and true to the answers."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from tests.conftest import HERE, RULES
from tests.unit.report.hostile import ALL, with_text
from walltriage.case.read import read_case
from walltriage.inference.numbers.results import SpanNumbers
from walltriage.report.charts import evidence_chart, span_sketch
from walltriage.report.drawing import Label, Shape, Stroke, fit, hatch
from walltriage.report.girder_sketch import girder_sketch
from walltriage.report.marks import PathMark, badge, look, path_marks
from walltriage.report.plan import JoistArea, PlanView, PlanWall, plan_drawing
from walltriage.report.plan_details import lettered
from walltriage.report.section import SectionView, section_drawing
from walltriage.report.subject import Subject
from walltriage.report.svg import svg
from walltriage.report.views import plan_view, section_view
from walltriage.structure.new_point import PointBelow
from walltriage.structure.span_need import span_need
from walltriage.structure.tables import load_tables

SVG = "{http://www.w3.org/2000/svg}"


def spans(without_in: float) -> SpanNumbers:
    """Ceiling joists of one size that would span so far."""
    need = span_need(
        load_tables(RULES), span_without_in=without_in, size="2x6", spacing_in=16, use="ceiling"
    )
    return SpanNumbers(need, "2x6", 16, None)


def drawings(request):
    """All drawings of a request's first wall."""
    subject = Subject(request, request.finding.walls[0])
    paths = request.finding.walls[0].load_paths
    return [subject.plan(), subject.section(), evidence_chart(paths), span_sketch(spans(300))]


@pytest.mark.parametrize("name", ["bungalow", "truss_house", "two_walls"])
def test_svg_is_sound(make, name):
    """Each parses as XML, has a title, a description and a picture's role, and stays inside."""
    for drawing in drawings(make(name)):
        root = ET.fromstring(svg(drawing, "key"))
        assert root.get("role") == "img"
        assert root.get("aria-labelledby") == "key-t key-d"
        assert root.find(f"{SVG}title").text == drawing.title
        assert root.find(f"{SVG}desc").text == drawing.desc
        assert not root.findall(f".//{SVG}style")
        _, _, wide, high = map(float, root.get("viewBox").split())
        for text in root.iter(f"{SVG}text"):
            assert 0 <= float(text.get("x")) <= wide
            assert 0 < float(text.get("y")) <= high
            assert float(text.get("font-size")) >= 13


@pytest.mark.parametrize("text", ALL)
def test_hostile_names_stay_text(make, text):
    """Names with markup, controls or ten thousand letters make no element and no overflow."""
    for drawing in drawings(make(change=with_text(text))):
        root = ET.fromstring(svg(drawing))
        tags = {element.tag.removeprefix(SVG) for element in root.iter()}
        assert tags <= {"svg", "title", "desc", "line", "polygon", "circle", "text"}
        assert len(svg(drawing)) < 60_000


def test_status_is_told_without_colour():
    """The three statuses differ in weight and dash, and their discs in more than that."""
    looks = {(look(s).width, look(s).dash) for s in ("established", "open", "ruled_out")}
    assert len(looks) == 3
    discs = [
        [(type(i).__name__, getattr(i, "fill", None), getattr(i, "dash", None)) for i in
         badge(0, 0, PathMark(1, "p", "t", status, "w"))]
        for status in ("established", "open", "ruled_out")
    ]  # fmt: skip
    assert discs[0] != discs[1] != discs[2] != discs[0]


def test_section_marks_all_six_paths(make):
    """Each path has its numbered disc and its word."""
    request = make("bungalow")
    drawing = Subject(request, request.finding.walls[0]).section()
    labels = [item.text for item in drawing.items if isinstance(item, Label)]
    assert set("123456") <= set(labels)
    marks = path_marks(request.finding.walls[0].load_paths)
    assert sorted(label for label in labels if label in ("bears", "open", "ruled out")) == sorted(
        mark.word for mark in marks
    )
    assert "1 Framing above: bears" in drawing.desc


def test_section_follows_the_house(make, houses):
    """Levels, base, roof and the wall's level come from the answers."""
    request = make("two_walls")
    drawn = houses.base.report_texts.drawings
    one = section_view(drawn, Subject(request, request.finding.walls[0]).answers())
    two = section_view(drawn, Subject(request, request.finding.walls[1]).answers())
    assert one == SectionView(2, 0, "crawl_space", "")
    assert two == SectionView(2, 1, "crawl_space", "")


def test_section_says_what_it_assumes(houses):
    """With no answers it draws a plain house and says so."""
    view = section_view(houses.base.report_texts.drawings, {})
    assert view.assumed == ("the number of levels", "the wall's level")
    drawing = section_drawing(view, (), "w")
    assert "Assumed, as not known: the number of levels, the wall's level." in drawing.desc
    assert "not to scale" in drawing.desc


@pytest.mark.parametrize("roof", ["trusses", "rafters", "flat", ""])
@pytest.mark.parametrize("base", ["basement", "crawl_space", "slab", ""])
@pytest.mark.parametrize(("levels", "level"), [(1, 0), (2, 0), (2, 1), (3, 1), (1, -1)])
def test_every_house_can_be_drawn(make, roof, base, levels, level):
    """All shapes stay within the drawing."""
    marks = path_marks(make().finding.walls[0].load_paths)
    drawing = section_drawing(SectionView(levels, level, base, roof), marks, "w")
    for item in drawing.items:
        points = [(item.x1, item.y1), (item.x2, item.y2)] if isinstance(item, Stroke) else []
        points += list(getattr(item, "points", ()))
        points += [(item.x, item.y)] if hasattr(item, "x") else []
        assert all(0 <= x <= drawing.width and 0 <= y <= drawing.height for x, y in points)


def test_plan_to_scale_only_with_sizes_and_place(make, houses):
    """Sizes and both distances make a scale bar; without them it says it is not to scale."""
    drawn = houses.base.report_texts.drawings
    request = make("bungalow")
    answers = Subject(request, request.finding.walls[0]).answers()
    view = plan_view(drawn, answers, "kitchen")
    assert view.to_scale
    wall = view.walls[-1]
    assert (wall.start[1], wall.end[0] - wall.start[0]) == pytest.approx((156, 168))
    less = {name: a for name, a in answers.items() if name != "distance_other_side"}
    assert not plan_view(drawn, less, "kitchen").to_scale
    text = " ".join(i.text for i in plan_drawing(view).items if isinstance(i, Label))
    assert "10 ft · to scale" in text
    bare = plan_drawing(plan_view(drawn, {}, "kitchen"))
    assert "Not to scale" in " ".join(i.text for i in bare.items if isinstance(i, Label))
    assert "Where the wall stands in the house is assumed." in bare.caption


def test_plan_directions(make, houses):
    """Ridge, wall and joists run as answered."""
    drawn = houses.base.report_texts.drawings
    across = make("truss_house")
    view = plan_view(drawn, Subject(across, across.finding.walls[0]).answers(), "den")
    start, end = view.ridge
    assert start[1] == end[1]
    assert view.walls[-1].start[0] == view.walls[-1].end[0]
    assert view.joists[0].direction == (0, 1)
    assert "Joists above run along the wall." in plan_drawing(view).desc


def test_plan_of_a_known_house():
    """A plan given in full: any outline, several walls, openings, slanted joists."""
    view = PlanView(
        outline=((0, 0), (480, 0), (480, 200), (300, 200), (300, 360), (0, 360)),
        walls=(
            PlanWall("hall", (0, 120), (300, 120), openings=((40, 72), (60, 90))),
            PlanWall("den", (150, 120), (150, 360), asked=True, openings=((0, 30),)),
        ),
        ridge=((150, 0), (150, 360)),
        joists=(JoistArea(((0, 0), (150, 0), (150, 120), (0, 120)), (1, 1)),),
    )
    drawing = plan_drawing(view)
    ET.fromstring(svg(drawing))
    assert "The roof ridge runs the short way" in drawing.desc
    assert "Drawn to scale." in drawing.desc
    walls = [i for i in drawing.items if isinstance(i, Stroke) and i.width == 2.2]
    assert len(walls) == 2  # the hall wall, cut once by two openings that overlap


def test_evidence_chart_adds_up(make):
    """The description tells each path's sums, which are those of the finding."""
    paths = make("bungalow").finding.walls[0].load_paths
    desc = evidence_chart(paths).desc
    for path in paths:
        clues = [e.decibans for e in path.evidence if e.kind == "clue"]
        toward = sum(w for w in clues if w > 0)
        against = sum(w for w in clues if w < 0)
        told = re.search(rf"{path.title}: .*? for ([+\d.]+)(?: and a decisive sign)?, "
                         rf"against ([-+\d.]+)\.", desc)  # fmt: skip
        assert float(told[1]) == pytest.approx(toward, abs=0.051)
        assert float(told[2]) == pytest.approx(against, abs=0.051)
    assert "and a decisive sign" in desc


def test_evidence_chart_of_nothing(make):
    """A path without any clue, and no path at all, can be drawn."""
    path = make("bungalow").finding.walls[0].load_paths[1]
    ET.fromstring(svg(evidence_chart((replace(path, evidence=()),))))
    ET.fromstring(svg(evidence_chart(())))


@pytest.mark.parametrize(
    ("without_in", "says"),
    [(330, "too far"), (120, "the span alone does not settle it"), (60, "well within reach")],
)
def test_span_sketch_compares(without_in, says):
    """The sketch says in words what its bars show."""
    drawing = span_sketch(spans(without_in))
    assert says in drawing.caption
    assert drawing.caption in drawing.desc
    assert "2x6 at 16 in" in drawing.desc


def test_a_point_between_posts_is_drawn(full):
    """The worked example's beam lands 4 ft from a post in a span of 12 ft, at both ends."""
    case = read_case(HERE.parent / "docs" / "worked-example.yaml", full.base.questions)
    points = full.finding(case).walls[0].numbers.sizing.below
    drawing = girder_sketch(points)
    labels = [item.text for item in drawing.items if isinstance(item, Label)]
    assert labels.count("4 ft") == labels.count("8 ft") == len(points) == 2
    assert "BETWEEN ITS POSTS" in drawing.caption
    assert "9,771 lb down on girder (crawl_space) 4 ft from the nearer support" in drawing.desc
    heads = [item for item in drawing.items if isinstance(item, Shape) and len(item.points) == 3]
    # 4 ft of 12 ft: a third of the way along the span as drawn
    assert [head.points[0][0] for head in heads] == pytest.approx([60 + 360 / 3] * 2)
    ET.fromstring(svg(drawing, "key"))


def test_a_point_on_a_post_is_not_drawn():
    """What stands on a post, a wall or the ground needs no sketch of a span."""
    on_post = PointBelow(5000.0, "girder", ("girder",), 144.0, 3.0)
    assert girder_sketch((on_post, PointBelow(5000.0, "ground", ()))) is None
    assert girder_sketch(()) is None


def test_hatch_stays_in_its_box():
    """Every line of a hatch ends on the box's edge."""
    for line in hatch(10, 20, 30, 50, 7):
        for x, y in ((line.x1, line.y1), (line.x2, line.y2)):
            assert 10 <= x <= 40
            assert 20 <= y <= 70
            assert x in (10, 40) or y in (20, 70)


def test_a_long_name_of_a_wall_is_set_smaller_before_it_is_cut():
    """34 letters fit whole; a hundred do not, in the smallest letters either."""
    assert lettered("hall", 456) == ("hall", 14.0)
    name = "hall wall beside the front bedroom"
    assert lettered(name, 456) == (name, 12.5)
    assert lettered("w" * 70, 456) == ("w" * 70, 11.0)
    cut, size = lettered("w" * 100, 456)
    assert (size, cut[-1]) == (11.0, "…")


def test_fit_cuts_with_an_ellipsis():
    """A name that is too wide ends in an ellipsis; one that fits is left alone."""
    assert fit("short", 200) == "short"
    assert fit("w" * 100, 57, 10) == "w" * 9 + "…"
