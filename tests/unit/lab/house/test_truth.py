"""Truth worked out by hand on small drawings, one for each way load comes down."""

from __future__ import annotations

import pytest

from walltriage.lab.house.framing import clear_of, longest_span, pieces
from walltriage.lab.house.model import (
    Beam,
    Field,
    House,
    KneeWall,
    Line,
    Piece,
    Point,
    Rect,
    Rest,
    Wall,
)
from walltriage.lab.house.truth import bears, rests_on, truth

BOX = Rect(0, 40, 0, 28)


def house(*walls: Wall, **more: object) -> House:
    """A plain box of 40 by 28 ft with these walls inside."""
    made = House("drawn", 1960, 40, 28, {0: [BOX]}, "one", "slab")
    made.walls = list(walls)
    for name, value in more.items():
        setattr(made, name, value)
    return made


def field(held: list, allow: float = 15.0, run: str = "y", **more: object) -> Field:
    """Joists over the box, from outer wall to outer wall, broken or held at ``held``."""
    start, stop = BOX.span(run)
    cut = pieces(start, stop, held)
    return Field(0, BOX, run, "solid_boards", "2x6", 16.0, allow, cut, "attic", **more)


def along(at: float, **more: object) -> Wall:
    return Wall("w", 0, Line("x", at, 5, 25), **more)


def reached(drawn: House) -> set[str]:
    return {path for path, yes in truth(drawn, drawn.walls[0]).items() if yes}


def test_lap_over_the_wall_bears():
    """Joists 14 ft each way lap at 14 ft: the wall at 14 ft takes 14 ft of joist."""
    drawn = house(along(14), fields=[field([(14, "end")])])
    assert reached(drawn) == {"framing_above"}
    carried = [
        feet
        for piece in drawn.fields[0].pieces
        for rest, feet in piece.tributaries()
        if rest.at == 14
    ]
    assert carried == [7, 7]


def test_a_wall_beside_the_lap_does_not_bear_while_joists_reach():
    """At 10 ft the joists pass over; 14 ft is less than the 15 ft they can do."""
    assert reached(house(along(10), fields=[field([(14, "end")])])) == set()


def test_joists_too_long_lean_on_what_they_touch():
    """The same wall under joists that can do 12 ft only, 14 ft from end to end."""
    drawn = house(along(10), fields=[field([(14, "end")], allow=12)])
    assert reached(drawn) == {"framing_above"}
    assert rests_on(drawn.fields[0], drawn.walls[0]) == "needed"


def test_a_later_wall_takes_them_only_once_settled():
    """Before it settles nothing touches."""
    long = [field([(14, "end")], allow=12)]
    assert reached(house(along(10, later=True), fields=long)) == set()
    settled = along(10, later=True, settled=True)
    assert reached(house(settled, fields=long)) == {"framing_above"}


def test_parallel_joists_put_nothing_on_it():
    """Joists along the wall never count as framing."""
    assert reached(house(along(14), fields=[field([(20, "end")], allow=5, run="x")])) == set()


def test_hung_joists_put_nothing_on_the_wall_below_their_beam():
    """Hangers carry the ends; the beam's two ends are elsewhere."""
    beam = Beam("flush", 0, Line("x", 14, 0, 30))
    drawn = house(along(14), fields=[field([(14, "hung")])], beams=[beam])
    assert reached(drawn) == set()
    cross = Wall("c", 0, Line("y", 30, 10, 28))
    drawn.walls = [cross]
    assert reached(drawn) == {"point_load"}


def test_trusses_kept_clear_put_nothing_down_and_those_built_to_bear_do():
    """A gap, and a truss with three supports."""
    clear = field([], allow=44, gap=True)
    assert reached(house(along(14), fields=[clear])) == set()
    whole = Piece(0, 28, (Rest(0, "end"), Rest(14, "truss_bearing"), Rest(28, "end")))
    built = Field(0, BOX, "y", "roof_trusses", "roof", 24.0, 20.0, (whole,), "attic")
    assert reached(house(along(14), fields=[built])) == {"roof_struts"}


def test_struts_posts_and_knee_walls_count_as_roof():
    """On the line they count, a foot beside it they do not."""
    on, off = Point("strut", 0, 10, 14.2), Point("strut", 0, 10, 15)
    assert reached(house(along(14), points=[on])) == {"roof_struts"}
    assert reached(house(along(14), points=[off])) == set()
    carried = KneeWall(0, Line("x", 14, 0, 40), True)
    clear = KneeWall(0, Line("x", 14, 0, 40), False)
    assert reached(house(along(14), knee_walls=[carried])) == {"roof_struts"}
    assert reached(house(along(14), knee_walls=[clear])) == set()


@pytest.mark.parametrize(("off", "stands"), [(0.0, True), (0.75, True), (0.9, False)])
def test_a_wall_above_stands_on_it_within_a_joist_depth(off, stands):
    """The depth of a joist is the greatest offset (IRC R502.4)."""
    upper = Wall("u", 1, Line("x", 14 + off, 5, 20))
    assert ("wall_above" in reached(house(along(14), upper))) == stands


def test_a_wall_above_beside_the_ends_does_not():
    """Walls that do not overlap do not stand on each other."""
    upper = Wall("u", 1, Line("x", 14, 25, 35))
    assert reached(house(along(14), upper)) == set()
    over = Wall("u", 1, Line("x", 14, 5, 20))
    assert reached(house(along(14, height="stops_short"), over)) == set()


@pytest.mark.parametrize("kind", ["chimney", "machine", "very_heavy", "stair_header", "post"])
def test_heavy_spots_count(kind):
    """Anything heavy on the line; on a wall that stops short of the ceiling only a post."""
    spot = Point(kind, 0, 10, 14)
    assert reached(house(along(14), points=[spot])) == {"point_load"}
    low = {"point_load"} if kind == "post" else set()
    assert reached(house(along(14, height="stops_short"), points=[spot])) == low


def test_a_usual_bath_is_not_a_point_load():
    """Floor joists are meant for a tub."""
    assert reached(house(along(14), points=[Point("bath", 0, 10, 14)])) == set()


@pytest.mark.parametrize("role", ["once_outside", "shared", "joins_sections"])
def test_edges_of_houses_bear(role):
    """What is or was an edge counts as bearing."""
    drawn = house(along(14, role=role))
    assert reached(drawn) == {"perimeter"}
    assert bears(truth(drawn, drawn.walls[0]))


def test_bracing_is_not_bearing():
    """A brace alone does not make a wall bear."""
    wall = along(14)
    wall.detail["braces"] = "yes"
    drawn = house(wall)
    assert reached(drawn) == {"bracing"}
    assert not bears(truth(drawn, wall))


def test_spans_of_a_run():
    """Breaks cut pieces, through-marks do not; fixed supports make the clear span."""
    cut = pieces(0, 28, [(14, "end"), (20, "through")])
    assert [(p.start, p.stop) for p in cut] == [(0, 14), (14, 28)]
    assert [r.at for r in cut[1].rests] == [14, 20, 28]
    assert longest_span(0, 28, [(14, "end"), (20, "through")]) == 14
    assert clear_of(cut[1], 20) == 14
    assert clear_of(cut[1], 28) == 0
