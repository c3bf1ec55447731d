"""Studs, posts and footings at a beam's ends, and whether the load was followed down."""

import pytest

from walltriage.errors import InputError
from walltriage.structure.columns import column_capacity_lb, column_factor
from walltriage.structure.load_path import Seen, load_path_to_ground, stages_below
from walltriage.structure.loads import LoadSet
from walltriage.structure.lumber import sawn
from walltriage.structure.stock import lvl_beam, sawn_beam
from walltriage.structure.supports import end_support
from walltriage.structure.tables import Tables


def test_column_factor_by_hand(tables: Tables) -> None:
    """Clause 3.7.1: Fc* 761.25, FcE 0.822 x 440000 / 27.43^2, c 0.8."""
    a = 0.822 * 440000 / (96 / 3.5) ** 2 / 761.25
    half = (1 + a) / 1.6
    wanted = half - (half**2 - a / 0.8) ** 0.5
    assert column_factor(tables, 440000, 761.25, 96 / 3.5) == pytest.approx(wanted)
    assert column_factor(tables, 440000, 761.25, 50.1) == 0


def test_taller_column_carries_less_and_a_bare_stud_less_still(tables: Tables) -> None:
    stud = sawn(tables, tables.sizes["2x4"], tables.species["SPF"], "Stud")
    heights = [48, 72, 96, 120, 168]
    found = [column_capacity_lb(tables, stud, h, 1.0, sheathed=True) for h in heights]
    assert found == sorted(found, reverse=True)
    bare = column_capacity_lb(tables, stud, 70, 1.0, sheathed=False)
    assert bare < column_capacity_lb(tables, stud, 70, 1.0, sheathed=True)
    assert column_capacity_lb(tables, stud, 96, 1.0, sheathed=False) == 0  # 96 / 1.5 > 50


def test_end_support_by_hand(tables: Tables) -> None:
    member = lvl_beam(tables, 9.5, 2)
    found = end_support(tables, member, LoadSet(dead=1500, live=3000))
    assert found.reaction_lb == 4500
    assert found.combination == "D + L"
    assert found.stud == "2x4"
    assert found.for_bearing == 2  # 750 x 3.5 x 1.5 = 3938 lb a stud
    assert found.for_plate == 3  # 425 x 5.25 = 2231 lb a stud
    assert found.for_column == 3  # about 2036 lb a stud, 97 in high
    assert found.studs == 3
    assert found.footing_sqft == pytest.approx(3.0)
    assert found.footing_side_in == pytest.approx(12 * 3**0.5)
    assert [post.label for post in found.posts] == ["4x4 DFL No.2", "4x6 DFL No.2", "4x8 DFL No.2"]
    assert all(0 < post.utilisation <= 1 for post in found.posts)


def test_heavy_end_asks_for_a_post_and_says_so(tables: Tables) -> None:
    found = end_support(tables, lvl_beam(tables, 18, 3), LoadSet(dead=6000, live=12000))
    assert found.studs == 0
    assert any("a post is required" in finding for finding in found.findings)
    assert found.posts == ()
    assert any("no listed wood post" in finding for finding in found.findings)


def test_better_soil_needs_less_footing(tables: Tables) -> None:
    member, load = sawn_beam(tables, "2x10", "SPF", "No.2", 2), LoadSet(dead=1000, live=2000)
    poor, good = (end_support(tables, member, load, soil=s) for s in ("untested", "gravel"))
    assert good.footing_sqft == pytest.approx(poor.footing_sqft / 2)


@pytest.mark.parametrize("change", [{"soil": "mud"}, {"height_in": 0}, {"height_in": 900}])
def test_bad_support_input(tables: Tables, change: dict) -> None:
    with pytest.raises(InputError):
        end_support(tables, lvl_beam(tables, 9.5, 2), LoadSet(dead=1000), **change)


ENDS = {"left": 2500.0, "right": 3200.0}


def test_nothing_seen_is_a_finding_of_its_own() -> None:
    found = load_path_to_ground(ENDS, {}, levels_below=1)
    assert not found.complete
    assert len(found.findings) == 3
    assert "left end, 2,500 lb: not seen: studs or a post" in found.findings[0]
    assert "A beam with nothing under it" in found.findings[-1]
    assert all(stage.seen is Seen.UNSEEN for end in found.ends for stage in end.stages)


def test_all_seen_is_complete() -> None:
    keys = [key for key, _ in stages_below(2, "footing")]
    assert keys == ["at_end", "floor_1", "level_1", "floor_2", "level_2", "ground"]
    seen = {end: dict.fromkeys(keys, True) for end in ENDS}
    found = load_path_to_ground(ENDS, seen, levels_below=2)
    assert found.complete
    assert found.findings == ()


def test_one_stage_unseen_on_one_end_is_enough() -> None:
    keys = [key for key, _ in stages_below(1, "slab")]
    seen = {end: dict.fromkeys(keys, True) for end in ENDS}
    seen["right"]["ground"] = None
    found = load_path_to_ground(ENDS, seen, levels_below=1, ground="slab")
    assert not found.complete
    assert found.ends[0].complete
    assert "right end, 3,200 lb: not seen: a footing or a thickened slab" in found.findings[0]


def test_looked_for_and_not_there() -> None:
    found = load_path_to_ground(ENDS, {"left": {"level_1": False}}, levels_below=1)
    assert "left end, 2,500 lb: there is no wall, beam or post right below it" in found.findings[0]


@pytest.mark.parametrize(
    ("seen", "levels", "ground"),
    [({"middle": {}}, 1, "slab"), ({"left": {"attic": True}}, 1, "slab"), ({}, -1, "slab"),
     ({}, 9, "slab"), ({}, True, "slab"), ({}, 1, "sand")],
)  # fmt: skip
def test_unknown_ends_stages_and_grounds(seen, levels, ground) -> None:
    with pytest.raises(InputError):
        load_path_to_ground(ENDS, seen, levels_below=levels, ground=ground)
