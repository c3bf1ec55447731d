"""By which questions a fact could still come to hold: what leads along shut ways is not asked."""

from __future__ import annotations

import numpy as np
import pytest

from walltriage.case.model import UNKNOWN, Answer
from walltriage.inference.columns.codes import Coder
from walltriage.inference.looks.live_ways import LiveWays
from walltriage.knowledge.terms import Leaf, branches

BRACED = Leaf("fact", "others_brace", ("yes",))


@pytest.fixture(scope="module")
def coder(full):
    return Coder(full.base)


@pytest.fixture(scope="module")
def ways(full, coder):
    return LiveWays(full.base, coder)


def leading(ways, coder, told: dict[str, Answer], *gone: str) -> set[str]:
    """The questions on ways to "other walls do the bracing", ``gone`` being out of reach."""
    left = np.array([[name not in told and name not in gone for name in coder.questions]])
    found = ways.to_fact(BRACED, coder.encode([told]), left)
    return {coder.questions[column] for column in np.flatnonzero(found[0])}


def said(**values: str) -> dict[str, Answer]:
    return {name: Answer(value, None, value) for name, value in values.items()}


def test_the_roof_is_asked_about_in_earthquake_country_alone(ways, coder):
    """Where the nearest walls count; elsewhere how large the house is, and its outside walls."""
    quakes = said(quake_or_wind="quakes", outer_walls_open="mostly_solid")
    assert {"roof_covering", "solid_walls_apart", "house_length"} <= leading(ways, coder, quakes)
    calm = said(quake_or_wind="neither", outer_walls_open="mostly_solid")
    found = leading(ways, coder, calm, "solid_walls_apart")
    assert {"house_length", "house_width"} <= found
    assert not {"roof_covering", "walls_made_of"} & found


def test_an_answer_shuts_a_way(ways, coder):
    """Walls too far apart, an open side, an answer nobody knows: nothing more to ask for it."""
    quakes = said(quake_or_wind="quakes", outer_walls_open="mostly_solid")
    far = quakes | {"solid_walls_apart": Answer("over_25", 480.0, "40 ft")}
    near = quakes | {"solid_walls_apart": Answer("up_to_25", 240.0, "20 ft")}
    assert leading(ways, coder, far) == set()
    assert "roof_covering" in leading(ways, coder, near)
    open_side = said(quake_or_wind="neither", outer_walls_open="one_side_open")
    assert "open_sides_run" in leading(ways, coder, open_side, "solid_walls_apart")
    parallel = open_side | said(open_sides_run="same_way")
    assert leading(ways, coder, parallel, "solid_walls_apart") == set()
    assert leading(ways, coder, said(outer_walls_open=UNKNOWN)) == set()


def test_a_condition_may_hold_until_an_answer_says_otherwise(full, ways, coder):
    """A girder truss under trusses or not yet known, never under rafters."""
    applies = branches(full.base.questions["truss_carrier"].entry.applies)
    for frame, may in (("trusses", True), ("several_kinds", True), ("rafters", False)):
        told = coder.encode([said(above_wall="only_attic", attic_frame=frame)])
        assert ways.may_hold(applies, told).tolist() == [may], frame
    assert ways.may_hold(applies, coder.encode([{}])).tolist() == [True]
