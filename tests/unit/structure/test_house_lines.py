"""Bearing lines over several levels, against trying every choice of every level."""

from __future__ import annotations

from itertools import chain, combinations, pairwise, product
from random import Random

import pytest

from walltriage.errors import InputError
from walltriage.structure.house_lines import LevelLines, LineClass, solve_house

DEPTH = 12.0


def brute(levels: list[LevelLines]) -> tuple[int, int, dict[str, LineClass]]:
    """All choices of all levels, one by one."""

    def choices(level):
        names = list(level.candidates_in)
        for chosen in chain.from_iterable(combinations(names, n) for n in range(len(names) + 1)):
            places = sorted([0.0, level.width_in, *(level.candidates_in[n] for n in chosen)])
            fits = all(b - a <= level.capacity_in + 1e-6 for a, b in pairwise(places))
            agrees = all((name in chosen) == bears for name, bears in level.known.items())
            if fits and agrees:
                yield chosen

    held = []
    for house in product(*(list(choices(level)) for level in levels)):
        ok = True
        for (low, chosen), (high, upper) in pairwise(zip(levels, house, strict=True)):
            below = [low.candidates_in[n] for n in chosen] + [0.0, low.width_in]
            ok = ok and all(
                min(abs(high.candidates_in[n] - b) for b in below) <= DEPTH for n in upper
            )
        if ok:
            held.append(set(chain(*house)))
    names = [n for level in levels for n in level.candidates_in]
    if not held:
        return 0, 0, dict.fromkeys(names, LineClass.NOTHING_HOLDS)
    fewest = min(map(len, held))
    classes = {}
    for name in names:
        if all(name in h for h in held):
            classes[name] = LineClass.NEEDED
        elif any(name in h for h in held if len(h) == fewest):
            classes[name] = LineClass.DEPENDS
        else:
            classes[name] = LineClass.IN_NO_SMALLEST
    return len(held), fewest, classes


def random_levels(seed: int) -> list[LevelLines]:
    random = Random(seed)
    width = random.uniform(240, 480)
    shared = [random.uniform(20, width - 20) for _ in range(3)]
    levels = []
    tall = random.randint(1, 3)
    for level in range(tall):
        lines = {}
        for number in range(random.randint(0, 4 if tall > 1 else 8)):
            place = random.choice(shared) + random.choice([0, 0, 5, -9, 14])
            place = place if random.random() < 0.8 else random.uniform(20, width - 20)
            lines[f"l{level}_{number}"] = min(max(place, 5.0), width - 5.0)
        known = {n: random.random() < 0.6 for n in lines if random.random() < 0.2}
        levels.append(LevelLines(width, lines, random.uniform(110, 300), known))
    return levels


@pytest.mark.parametrize("first", range(0, 300, 100))
def test_agrees_with_trying_everything(first):
    """Count, fewest and every class, in 300 random houses of one to three levels."""
    for seed in range(first, first + 100):
        levels = random_levels(seed)
        found = solve_house(levels, DEPTH)
        assert (found.count, found.fewest, dict(found.classes)) == brute(levels), seed


def test_stacking_makes_a_lower_line_needed():
    """Of two lines below either would do, but only one stands under the line above."""
    top = LevelLines(288, {"up": 144}, 168, {})
    low = LevelLines(288, {"under": 150, "beside": 126}, 168, {})
    alone = solve_house([low], DEPTH)
    assert alone.classes == {"under": LineClass.DEPENDS, "beside": LineClass.DEPENDS}
    both = solve_house([low, top], DEPTH)
    assert both.classes["under"] is LineClass.NEEDED
    assert both.classes["beside"] is LineClass.IN_NO_SMALLEST


@pytest.mark.parametrize(
    ("levels", "words"),
    [
        ([LevelLines(200, {f"l{i}": 10.0 + i for i in range(15)}, 90, {})], "15 on one level"),
        ([LevelLines(200, {"a": 210.0}, 90, {})], "lies outside the house"),
        ([LevelLines(200, {"a": 90.0}, 90, {}), LevelLines(200, {"a": 90.0}, 90, {})], "twice"),
    ],
)
def test_refuses(levels, words):
    with pytest.raises(InputError, match=words):
        solve_house(levels, DEPTH)
