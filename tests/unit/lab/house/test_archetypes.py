"""Every kind of house stands up, comes out the same for a seed, and bears where it should."""

from __future__ import annotations

from dataclasses import asdict

import pytest

from walltriage.lab.house.archetypes import ARCHETYPES
from walltriage.lab.house.build import askable, build_house
from walltriage.lab.house.model import Field, House, other
from walltriage.lab.house.truth import BEARING_PATHS, bears, rests_on, truth

SEEDS = range(12)
CARRIERS = ("dropped", "flush", "girder", "girder_truss", "attic", "ridge")

# Worked out on paper from each drawing: load paths that some wall one may ask about must show
# within twelve houses, and paths that no wall of such a house can show.
EXPECTED = {
    "stick_centre_line": ({"framing_above"}, {"roof_struts", "wall_above", "perimeter"}),
    "stick_purlin_struts": ({"framing_above", "roof_struts"}, {"wall_above", "point_load"}),
    "trusses_over_old_roof": ({"framing_above", "roof_struts"}, {"wall_above", "point_load"}),
    "post_on_low_wall": ({"framing_above", "point_load"}, {"roof_struts", "wall_above"}),
    "roof_room_knee_wall": ({"framing_above", "roof_struts"}, {"point_load", "perimeter"}),
    "load_somewhere": ({"framing_above", "roof_struts", "point_load"}, {"perimeter"}),
    "laps_over_part": ({"framing_above"}, {"roof_struts", "wall_above", "point_load"}),
    "site_built_trusses": ({"roof_struts"}, {"wall_above", "point_load", "perimeter"}),
    "stick_hall_pair": ({"framing_above"}, {"roof_struts", "wall_above", "point_load"}),
    "collar_tie_cottage": (set(), {"roof_struts", "wall_above", "point_load", "perimeter"}),
    "hip_stick": ({"framing_above", "roof_struts"}, {"wall_above", "perimeter"}),
    "valley_wing": ({"framing_above", "roof_struts"}, {"wall_above"}),
    "ridge_beam_vaulted": ({"roof_struts", "point_load"}, {"wall_above", "perimeter"}),
    "attic_rooms_knee_walls": ({"framing_above", "roof_struts"}, {"perimeter"}),
    "hung_from_strongback": ({"framing_above", "point_load"}, {"roof_struts", "wall_above"}),
    "flat_roof_line": ({"framing_above"}, {"roof_struts", "wall_above", "perimeter"}),
    "slab_ranch_stick": ({"framing_above"}, {"wall_above", "perimeter"}),
    "truss_plain": (set(), set(BEARING_PATHS)),
    "truss_slab": (set(), set(BEARING_PATHS)),
    "truss_scissor": (set(), set(BEARING_PATHS)),
    "brace_wall_house": ({"bracing"}, set(BEARING_PATHS)),
    "truss_girder": ({"framing_above", "point_load"}, {"roof_struts", "wall_above"}),
    "truss_attic": (set(), {"framing_above", "roof_struts", "point_load", "perimeter"}),
    "truss_inner_bearing": ({"roof_struts", "framing_above"}, {"wall_above", "perimeter"}),
    "truss_two_storey": ({"framing_above", "point_load"}, {"roof_struts", "perimeter"}),
    "platform_stacked": ({"framing_above", "wall_above"}, {"roof_struts", "perimeter"}),
    "platform_offset": ({"framing_above"}, {"roof_struts", "point_load", "perimeter"}),
    "balloon": ({"framing_above", "wall_above"}, {"roof_struts", "perimeter"}),
    "i_joist_floor": ({"framing_above", "point_load"}, {"roof_struts", "perimeter"}),
    "floor_truss_house": (set(), {"framing_above", "roof_struts", "point_load", "perimeter"}),
    "dropped_beam": ({"framing_above", "point_load", "wall_above"}, {"roof_struts", "perimeter"}),
    "flush_beam": ({"framing_above", "point_load"}, {"roof_struts", "perimeter"}),
    "stair_opening": ({"framing_above", "wall_above", "point_load"}, {"roof_struts", "perimeter"}),
    "cantilever_floor": ({"framing_above", "wall_above"}, {"roof_struts", "perimeter"}),
    "split_level": ({"framing_above", "wall_above"}, {"roof_struts", "point_load"}),
    "basement_rooms": ({"framing_above", "wall_above", "point_load"}, {"roof_struts"}),
    "three_levels": ({"framing_above", "wall_above"}, {"roof_struts", "perimeter"}),
    "narrow_upper": ({"framing_above", "wall_above"}, {"roof_struts", "perimeter"}),
    "addition": ({"framing_above", "perimeter"}, {"roof_struts", "wall_above", "point_load"}),
    "enclosed_porch": ({"framing_above", "perimeter"}, {"roof_struts", "wall_above"}),
    "garage_conversion": ({"perimeter"}, {"roof_struts", "wall_above", "point_load"}),
    "removed_with_beam": ({"framing_above", "point_load"}, {"roof_struts", "wall_above"}),
    "removed_without_beam": ({"framing_above"}, {"roof_struts", "wall_above", "point_load"}),
    "wall_added_under_long_joists": ({"framing_above"}, {"roof_struts", "wall_above"}),
    "row_house": ({"perimeter", "wall_above"}, {"roof_struts", "point_load"}),
    "factory_halves": ({"framing_above", "perimeter", "point_load"}, {"roof_struts"}),
    "attached_garage": ({"framing_above"}, {"roof_struts", "wall_above", "perimeter"}),
    "chimney_house": ({"framing_above", "point_load", "wall_above"}, {"roof_struts"}),
    "girder_truss_on_thin_wall": ({"point_load"}, {"roof_struts", "wall_above", "perimeter"}),
    "parallel_joists_beam_end": ({"point_load", "framing_above"}, {"roof_struts", "perimeter"}),
    "hidden_strut": ({"roof_struts", "framing_above"}, {"wall_above", "perimeter"}),
    "joists_turn": ({"framing_above"}, {"roof_struts", "wall_above", "point_load"}),
    "added_wall_loaded_later": ({"roof_struts", "point_load"}, {"wall_above", "perimeter"}),
    "short_wall_heavy_above": ({"framing_above", "point_load"}, {"roof_struts", "perimeter"}),
    "twin_lines_wide_house": ({"framing_above", "roof_struts"}, {"wall_above", "point_load"}),
}


@pytest.fixture(scope="module")
def houses() -> dict[str, list[House]]:
    return {name: [build_house(name, 3, i) for i in SEEDS] for name in ARCHETYPES}


def test_there_are_enough_kinds():
    """At least thirty, and the table on paper speaks of each."""
    assert len(ARCHETYPES) >= 30
    assert set(EXPECTED) == set(ARCHETYPES)


@pytest.mark.parametrize("name", sorted(ARCHETYPES))
def test_load_paths_are_those_of_the_drawing(name, houses):
    """What must be met is met, and what cannot be is not."""
    must, never = EXPECTED[name]
    met = {
        path
        for house in houses[name]
        for wall in askable(house)
        for path, reached in truth(house, wall).items()
        if reached
    }
    assert must <= met
    assert not never & met


@pytest.mark.parametrize("name", sorted(ARCHETYPES))
def test_every_joist_end_is_held_up(name, houses):
    """Under each joist end there is a wall or a beam, or the outer foundation."""
    for house in houses[name]:
        for field in house.fields:
            for at in {rest.at for piece in field.pieces for rest in piece.rests}:
                low, high = field.area.span(other(field.run))
                for share in (0.03, 0.2, 0.4, 0.6, 0.8, 0.97):
                    along = low + share * (high - low)
                    x, y = (at, along) if field.run == "x" else (along, at)
                    assert held(house, field, x, y), (name, field.area, at, along)


def held(house: House, field: Field, x: float, y: float) -> bool:
    """Whether something stands under a point of a field's edge or support line."""
    edge = field.area.span(field.run)
    at = x if field.run == "x" else y
    if field.level < 0 and at in edge:
        return True
    if any(w.line.distance(x, y) < 0.6 for w in house.on_level(field.level)):
        return True
    if any(
        b.level == field.level and b.kind in CARRIERS and b.line.distance(x, y) < 0.6
        for b in house.beams
    ):
        return True
    return any(k.level == field.level - 1 and k.line.distance(x, y) < 0.6 for k in house.knee_walls)


@pytest.mark.parametrize("name", sorted(ARCHETYPES))
def test_pieces_carry_their_whole_length(name, houses):
    """The lengths that the supports of a piece carry add up to the piece."""
    for house in houses[name]:
        for field in house.fields:
            low, high = field.area.span(field.run)
            assert sum(p.stop - p.start for p in field.pieces) == pytest.approx(high - low)
            for piece in field.pieces:
                carried = sum(feet for _, feet in piece.tributaries())
                assert carried == pytest.approx(piece.stop - piece.start)


@pytest.mark.parametrize("name", sorted(ARCHETYPES))
def test_same_seed_same_house(name):
    """A seed and a number give one house; another number another."""
    assert asdict(build_house(name, 5, 7)) == asdict(build_house(name, 5, 7))
    assert asdict(build_house(name, 5, 7)) != asdict(build_house(name, 5, 8))


@pytest.mark.parametrize("name", sorted(ARCHETYPES))
def test_framing_counts_only_where_joists_end_or_need_the_wall(name, houses):
    """framing_above exactly when a joist end, or too long a span, lies over the plate."""
    for house in houses[name]:
        for wall in askable(house):
            over = [
                f
                for f in house.fields
                if f.over(wall) >= 0.5 and f.run != wall.line.axis and wall.touches_frame
            ]
            expected = False
            for field in over:
                for piece in field.pieces:
                    ends = [r.at for r in piece.rests if r.how == "end"]
                    near_end = any(abs(at - wall.line.at) <= 0.35 for at in ends)
                    built = any(
                        r.how == "truss_bearing" and abs(r.at - wall.line.at) <= 0.35
                        for r in piece.rests
                    )
                    if near_end and not built:
                        expected = True
            got = truth(house, wall)["framing_above"]
            needed = any(rests_on(f, wall) == "needed" for f in over)
            assert got == (expected or needed)


def test_walls_meant_to_bear_inside_do(houses):
    """Nearly all walls that builders meant to bear do; some stubs meet nothing."""
    meant = [
        (house, wall)
        for group in houses.values()
        for house in group
        for wall in askable(house)
        if wall.meant and wall.role == "inside"
    ]
    good = sum(bears(truth(house, wall)) for house, wall in meant)
    assert good / len(meant) > 0.9


def test_unknown_kind_is_refused():
    """A kind that is not there is a KeyError."""
    with pytest.raises(KeyError):
        build_house("castle", 1, 1)
