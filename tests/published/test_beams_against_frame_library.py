"""400 random beams, 100 of them with free ends, against a frame library, to 0.1 %.

The library is the test extra ``crosscheck``; without it these tests are skipped.
"""

import random
import warnings

import pytest

from walltriage.structure.beams import PointForce, SolvedBeam, Uniform, solve

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # the library's plotting imports warn; not ours to mend
    pynite = pytest.importorskip("Pynite")

pytestmark = pytest.mark.extras

EI_E, EI_I = 1.6e6, 98.9
TOLERANCE = 0.001


def random_beam(rng: random.Random):
    spans = tuple(rng.uniform(36, 240) for _ in range(rng.choice([1, 1, 2, 2, 3, 4])))
    end = sum(spans)
    uniforms = [Uniform(rng.uniform(20, 900), 0.0, end)] if rng.random() < 0.5 else []
    for _ in range(rng.randint(0, 2)):
        start, stop = sorted(rng.uniform(0, end) for _ in range(2))
        uniforms.append(Uniform(rng.uniform(20, 900), start, stop))
    points = [
        PointForce(rng.uniform(50, 4000), rng.uniform(0, end)) for _ in range(rng.randint(0, 3))
    ]
    if not uniforms and not points:
        points = [PointForce(1000.0, end * rng.uniform(0.05, 0.95))]
    return spans, tuple(uniforms), tuple(points)


def frame_model(spans, uniforms, points, overhangs=(0.0, 0.0)):
    model = pynite.FEModel3D()
    model.add_material("wood", EI_E, EI_E / 16, 0.3, 0.0)
    model.add_section("joist", 13.9, 2.6, EI_I, 8.0)
    place, end = overhangs[0], sum(spans) + sum(overhangs)
    for i, length in enumerate((0.0, *spans)):
        place += length
        model.add_node(f"N{i}", place, 0.0, 0.0)
        model.def_support(f"N{i}", i == 0, True, True, i == 0, False, False)
    first, last = "N0", f"N{len(spans)}"
    for name, at, free in (("left", 0.0, overhangs[0]), ("right", end, overhangs[1])):
        if free:
            model.add_node(name, at, 0.0, 0.0)
            first, last = (name, last) if name == "left" else (first, name)
    model.add_member("beam", first, last, "wood", "joist")
    for load in uniforms:
        rate = -load.load_plf / 12
        model.add_member_dist_load("beam", "Fy", rate, rate, load.start_in, load.end_in)
    for load in points:
        model.add_member_pt_load("beam", "Fy", -load.load_lb, load.at_in)
    model.analyze_linear()
    return model


def close(ours: float, theirs: float, scale: float) -> bool:
    return abs(ours - theirs) <= TOLERANCE * max(abs(theirs), scale / 10)


def compare(beam: SolvedBeam, model, spans, overhangs=(0.0, 0.0)) -> list[str]:
    """Reactions, moments, shears and deflections; scale = the greatest value on the beam."""
    wrong = []
    theirs = [model.nodes[f"N{i}"].RxnFY["Combo 1"] for i in range(len(spans) + 1)]
    top = max(abs(value) for value in theirs)
    wrong += [
        f"reaction {i}"
        for i, (a, b) in enumerate(zip(beam.reactions_lb, theirs, strict=True))
        if not close(a, b, top)
    ]
    member, ei = model.members["beam"], EI_E * EI_I
    end = sum(spans) + sum(overhangs)
    marks = [end * (k + 0.37) / 23 for k in range(23)]
    for name, own, other in (
        ("moment", beam.moment_lb_in, lambda x: -member.moment("Mz", x)),
        ("shear", beam.shear_lb, lambda x: member.shear("Fy", x)),
        ("sag", lambda x: beam.deflection_in(x, ei), lambda x: -member.deflection("dy", x)),
    ):
        ours, found = [own(x) for x in marks], [other(x) for x in marks]
        top = max(abs(value) for value in found)
        wrong += [
            f"{name} at {x:.1f}: {a:g} against {b:g}"
            for x, a, b in zip(marks, ours, found, strict=True)
            if not close(a, b, top)
        ]
    greatest = max(abs(member.max_moment("Mz")), abs(member.min_moment("Mz")))
    if not close(beam.greatest_moment_lb_in(), greatest, greatest):
        wrong.append("greatest moment")
    greatest = max(abs(member.max_shear("Fy")), abs(member.min_shear("Fy")))
    if not close(beam.greatest_shear_lb(), greatest, greatest):
        wrong.append("greatest shear")
    return wrong


@pytest.mark.parametrize("batch", range(10))
def test_random_beams(batch: int) -> None:
    rng = random.Random(4000 + batch)
    for _ in range(30):
        spans, uniforms, points = random_beam(rng)
        model = frame_model(spans, uniforms, points)
        assert compare(solve(spans, uniforms, points), model, spans) == []


@pytest.mark.parametrize("batch", range(4))
def test_random_beams_with_free_ends(batch: int) -> None:
    rng = random.Random(4100 + batch)
    for _ in range(25):
        spans = tuple(rng.uniform(60, 240) for _ in range(rng.choice([1, 2, 3])))
        free = rng.choice([(1, 0), (0, 1), (1, 1)])
        overhangs = tuple(f * rng.uniform(12, 60) for f in free)
        end = sum(spans) + sum(overhangs)
        uniforms = (Uniform(rng.uniform(20, 900), 0.0, end),)
        points = tuple(PointForce(rng.uniform(50, 4000), rng.uniform(0, end)) for _ in range(2))
        model = frame_model(spans, uniforms, points, overhangs)
        ours = solve(spans, uniforms, points, overhangs_in=overhangs)
        assert compare(ours, model, spans, overhangs) == []
