"""Take-down of 20 whole houses against an independent finite-element frame library.

A strip one foot wide is cut across each house and built in the library: joists as beams hinged
over every wall, walls as columns that stand on whatever is below, a wall or the middle of a
joist.  The library is the test extra ``crosscheck``; without it these tests are skipped.
"""

import warnings
from itertools import pairwise

import pytest

from tests.unit.structure.houses import random_house
from walltriage.structure.frame import Frame

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # the library's plotting imports warn; not ours to mend
    pynite = pytest.importorskip("Pynite")

pytestmark = pytest.mark.extras

HIGH = 96.0
TOLERANCE = 0.001
SEEDS = [seed for seed in range(200) if random_house(seed, one_way=True).levels > 1][:20]


def total(load) -> float:
    return sum(value for _, value in load.kinds())


def strip_model(frame: Frame):
    """The strip, and by line the column that carries it."""
    model = pynite.FEModel3D()
    model.add_material("wood", 1.6e6, 1e5, 0.3, 0.0)
    model.add_section("joist", 13.9, 2.6, 98.9, 8.0)
    node_at: dict[tuple[int, float], str] = {}
    columns: dict[str, str] = {}

    def node(level: int, y: float, on_line: bool) -> str:
        key = (level, round(y, 6))
        if key not in node_at:
            name = node_at[key] = f"N{len(node_at)}"
            model.add_node(name, y, (level + 1) * HIGH, 0.0)
            # held sideways; over a wall everything is hinged, so the turning is held too
            model.def_support(name, True, False, True, True, True, on_line)
        return node_at[key]

    for level in range(frame.levels):
        area = next(f for f in frame.fields if f.level == level)
        held = sorted({s.at for s in frame.supports if s.level == level and s.axis == "x"
                       and s.carries})  # fmt: skip
        for y in held:
            node(level, y, True)
        above = [s for s in frame.supports if s.level == level + 1 and s.axis == "x"]
        for line in above:
            node(level, line.at, line.at in held)
        for number, (one, other) in enumerate(pairwise(held)):
            name = f"J{level}_{number}"
            ends = node(level, one, True), node(level, other, True)
            model.add_member(name, *ends, "wood", "joist")
            model.def_releases(name, Rzi=True, Rzj=True)
            rate = -total(area.psf) / 12
            model.add_member_dist_load(name, "Fy", rate, rate)
    for line in (s for s in frame.supports if s.axis == "x"):
        if not line.carries:  # only weighs: straight down on what is below
            place = node(line.level - 1, line.at, False) if line.level else None
            if place is not None:
                model.add_node_load(place, "FY", -total(line.plf))
            continue
        top = node(line.level, line.at, True)
        if line.level:
            foot = node(line.level - 1, line.at, False)
        else:
            foot = f"G{len(columns)}"
            model.add_node(foot, line.at, 0.0, 0.0)
            model.def_support(foot, True, True, True, True, True, True)
        model.add_node_load(top, "FY", -total(line.plf))
        columns[line.id] = f"C{line.id}"
        model.add_member(columns[line.id], foot, top, "wood", "joist")
        model.def_releases(columns[line.id], Rzi=True, Rzj=True)
    model.analyze_linear()
    return model, columns


@pytest.mark.parametrize("seed", SEEDS)
def test_every_wall_carries_the_same(seed):
    frame = random_house(seed, one_way=True)
    # the strip is cut where no cross wall stands: those weigh on themselves only
    kept = [s for s in frame.supports if s.axis == "x"]
    frame = Frame([type(s)(s.id, s.level, s.axis, s.at, s.lo, s.hi, s.carries, s.plf)
                   for s in kept], frame.fields)  # fmt: skip
    found = frame.follow()
    model, columns = strip_model(frame)
    assert columns
    scale = max(abs(model.members[c].axial(1.0, "Combo 1")) for c in columns.values())
    for line, column in columns.items():
        ours = total(found.worst_plf(line))
        theirs = abs(model.members[column].axial(1.0, "Combo 1"))
        assert abs(ours - theirs) <= TOLERANCE * max(theirs, scale / 10), line


BEAMS = [
    (seed, beam.id)
    for seed in range(200)
    for beam in random_house(seed).supports
    if beam.level == 0 and beam.beam and len(set(beam.posts)) == 2
][:20]


@pytest.mark.parametrize(("seed", "name"), BEAMS)
def test_every_post_of_a_beam_carries_the_same(seed, name):
    """What 20 beams collect, spread and at spots, put on spans hinged over their posts."""
    frame = random_house(seed)
    beam = next(s for s in frame.supports if s.id == name)
    found = frame.follow()
    model = pynite.FEModel3D()
    model.add_material("wood", 1.6e6, 1e5, 0.3, 0.0)
    model.add_section("beam", 13.9, 2.6, 98.9, 8.0)
    rests = sorted({beam.lo, *beam.posts, beam.hi})
    for number, place in enumerate(rests):
        model.add_node(f"N{number}", place, 0.0, 0.0)
        model.def_support(f"N{number}", True, True, True, True, True, True)
    for number, (one, other) in enumerate(pairwise(rests)):
        member = f"B{number}"
        model.add_member(member, f"N{number}", f"N{number + 1}", "wood", "beam")
        model.def_releases(member, Rzi=True, Rzj=True)
        for piece in found.lines[beam.id]:
            lo, hi = max(piece.lo, one), min(piece.hi, other)
            if piece.lo == piece.hi and one <= piece.lo < other:
                model.add_member_pt_load(member, "Fy", -total(piece.load), piece.lo - one)
            elif hi > lo:
                rate = -total(piece.load) / 12
                model.add_member_dist_load(member, "Fy", rate, rate, lo - one, hi - one)
    model.analyze_linear()
    for post in beam.posts:
        theirs = model.nodes[f"N{rests.index(post)}"].RxnFY["Combo 1"]
        across = {(a.x if beam.axis == "x" else a.y): total(a.load) for a in found.ground
                  if a.source == beam.id}  # fmt: skip
        assert across.get(post, 0.0) == pytest.approx(theirs, rel=TOLERANCE, abs=0.01)
