"""The line solver against plain enumeration, and the evidence it gives."""

import random
from itertools import combinations, pairwise

import pytest

from walltriage.errors import InputError
from walltriage.structure.bearing_lines import LineClass, bearing_lines, solve_lines
from walltriage.structure.tables import Tables


def every_set(width: float, lines: dict[str, float], capacity: float) -> list[frozenset[str]]:
    found = []
    for size in range(len(lines) + 1):
        for names in combinations(sorted(lines), size):
            marks = [0.0, *sorted(lines[name] for name in names), width]
            if all(b - a <= capacity for a, b in pairwise(marks)):
                found.append(frozenset(names))
    return found


def judged(name: str, sets: list[frozenset[str]]) -> LineClass:
    if not sets:
        return LineClass.NOTHING_HOLDS
    if all(name in one for one in sets):
        return LineClass.NEEDED
    fewest = min(len(one) for one in sets)
    if not any(name in one for one in sets if len(one) == fewest):
        return LineClass.IN_NO_SMALLEST
    return LineClass.DEPENDS


@pytest.mark.parametrize("batch", range(4))
def test_against_brute_force_on_2000_layouts(batch: int) -> None:
    rng = random.Random(900 + batch)
    kinds = set()
    for _ in range(500):
        width = rng.choice([240, 288, 336, 400, 480])
        places = rng.sample(range(6, width - 5), rng.randint(0, 8))
        lines = {f"w{i}": float(place) for i, place in enumerate(places)}
        capacity = float(rng.randint(60, width + 20))
        sets = every_set(width, lines, capacity)
        found = solve_lines(width, lines, capacity)
        assert {frozenset(one) for one in found.sets()} == set(sets)
        assert found.count == len(sets)
        assert found.holds == bool(sets)
        assert found.classes == {name: judged(name, sets) for name in lines}
        if sets:
            fewest = min(len(one) for one in sets)
            small = {frozenset(one) for one in found.smallest_sets()}
            assert small == {one for one in sets if len(one) == fewest}
            assert found.smallest_size == fewest
        kinds |= set(found.classes.values())
    assert kinds == set(LineClass)  # every outcome was met


def test_spans_with_and_without_each_line() -> None:
    found = solve_lines(336.0, {"a": 120.0, "b": 168.0}, 180.0)
    assert found.span_with_in == {"a": 120.0, "b": 168.0}
    assert found.span_without_in == {"a": 168.0, "b": 216.0}


def test_range_settles_only_where_all_capacities_agree(tables: Tables) -> None:
    found = bearing_lines(
        tables,
        width_in=336,
        candidates_in={"middle": 168, "hall": 204},
        capacity_in=(170.0, 200.0, 340.0),
    )
    assert found.lowest.classes["middle"] is LineClass.NEEDED
    assert found.highest.classes["middle"] is LineClass.IN_NO_SMALLEST
    assert found.settled["middle"] is LineClass.DEPENDS


def test_a_standing_house_refutes_a_capacity_too_small_for_it(tables: Tables) -> None:
    found = bearing_lines(
        tables, width_in=336, candidates_in={"middle": 168}, capacity_in=(120.0, 180.0, 200.0)
    )
    assert found.lowest.classes["middle"] is LineClass.NOTHING_HOLDS
    assert found.settled["middle"] is LineClass.NEEDED
    none = bearing_lines(
        tables, width_in=336, candidates_in={"middle": 168}, capacity_in=(100.0, 110.0, 120.0)
    )
    assert none.settled["middle"] is LineClass.NOTHING_HOLDS


@pytest.mark.parametrize(
    ("width", "lines", "capacity"),
    [
        (0, {}, 100),
        (-3, {}, 100),
        (300, {}, 0),
        (300, {"a": 300}, 100),
        (300, {"a": -1}, 100),
        (300, {"a": 100, "b": 100}, 100),
        (float("nan"), {}, 100),
    ],
)
def test_bad_layouts_are_refused(width: float, lines: dict[str, float], capacity: float) -> None:
    with pytest.raises(InputError):
        solve_lines(width, lines, capacity)


def test_a_house_3000_ft_wide_is_refused(tables: Tables) -> None:
    with pytest.raises(InputError, match="house width"):
        bearing_lines(tables, width_in=36000, candidates_in={}, capacity_in=(100, 110, 120))


def test_many_lines_are_judged_at_once() -> None:
    """60 lines have about 10^18 sets; they are counted, never listed."""
    lines = {f"w{i}": float(12 * (i + 1)) for i in range(60)}
    found = solve_lines(12.0 * 61, lines, 120.0)
    assert found.count > 10**17
    assert found.smallest_size == 6
    assert len(next(found.smallest_sets())) == 6
