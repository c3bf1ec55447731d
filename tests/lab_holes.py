"""How many holes it takes until a wall that is left open is settled: SEED WALLS REPORTER.

python -m tests.lab_holes 1701 1500 guided

Each simulated person first tells all that shows as far as the attic.  Where that leaves the wall
open, they open it as the plan says: both ends first, then what lies between, one hole after the
other, and tell after each what shows through the holes made so far.  Counted is the first hole
after which there is a verdict; a wall that all of its holes leave open counts as without end.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from functools import partial
from statistics import median

import numpy as np
from rich.progress import track

from walltriage.inference.columns.evaluator import VERDICTS, ColumnEvaluator
from walltriage.inference.looks.opening_plan import spots_left
from walltriage.inference.seen_answers import reach_of
from walltriage.knowledge.load import load_knowledge
from walltriage.lab.answers import EFFORT, answer_all
from walltriage.lab.findings.scene import Scene
from walltriage.lab.house.build import build_house, generator
from walltriage.lab.house.model import House, Line, Wall
from walltriage.lab.mixes import kind_of
from walltriage.lab.reporter import Person
from walltriage.rules_folder import default_rules_folder

OPEN = VERDICTS.index("cannot_tell")
BEARING = VERDICTS.index("likely_bearing")


def places_ft(evaluator: ColumnEvaluator, wall: Wall) -> list[float]:
    """Where the plan has holes made, in feet from the wall's start: the ends, then between."""
    rules = evaluator.base.seen_along
    assert rules is not None
    spots = [
        at / 12 for at in spots_left(wall.line.length * 12, [], reach_of(rules.reach("framing")))
    ]
    return [*spots[:1], *spots[-1:], *spots[1:-1]] if len(spots) > 1 else spots


def shown(scene: Scene, spots_ft: Sequence[float], whole: bool) -> list[Line]:
    """What shows through holes at these places: each some feet both ways; all of them, the wall."""
    line, reach = scene.line, scene.values["hole_shows_ft"]
    if whole:
        return [line]
    return [
        Line(line.axis, line.at, max(line.start, line.start + at - reach),
             min(line.stop, line.start + at + reach))
        for at in spots_ft
    ]  # fmt: skip


def at_holes(
    reporter: str, seed: int, spots_ft: Sequence[float], whole: bool,
    house: House, wall: Wall, index: int, draws: int, effort: int,
) -> Person:  # fmt: skip
    """The same person as ever, with just these holes made."""
    rng = generator(seed, index, f"person {reporter}")
    person = Person(reporter, house, wall, rng, draws, effort)
    for scene in filter(None, (person._scene, person._other)):
        scene.holes = shown(scene, spots_ft, whole)
    return person


def holes_until_settled(
    evaluator: ColumnEvaluator, seed: int, index: int, reporter: str
) -> tuple[int, int | None, bool] | None:
    """Verdict, number of holes (None: not settled by all of them) and whether it bears.

    None where the looks as far as the attic settle the wall.
    """
    one = range(index, index + 1)
    batch, truth = answer_all(evaluator, seed, one, reporter, "attic")
    if evaluator.evaluate(batch).verdict[0] != OPEN:
        return None
    house = build_house(kind_of(seed, index, "equal"), seed, index)
    spots = places_ft(evaluator, house.wall(house.subject))
    for count in range(1, len(spots) + 1):
        make = partial(at_holes, reporter, seed, spots[:count], count == len(spots))
        batch, _ = answer_all(
            evaluator, seed, range(index, index + 1), reporter, "opened", make=make
        )
        verdict = int(evaluator.evaluate(batch).verdict[0])
        if verdict != OPEN:
            return verdict, count, bool(truth.bears[0])
    return OPEN, None, bool(truth.bears[0])


def main(words: list[str]) -> None:
    seed, walls, reporter = int(words[0]), int(words[1]), words[2]
    evaluator = ColumnEvaluator(load_knowledge(default_rules_folder()))
    assert EFFORT["opened"] > EFFORT["attic"]
    every = [
        holes_until_settled(evaluator, seed, index, reporter)
        for index in track(range(walls), description="walls", transient=True)
    ]
    found = [one for one in every if one is not None]
    print(f"{reporter}, seed {seed}: {walls} walls, {len(found)} left open as far as the attic")
    for name, some in (
        ("that bear", [one for one in found if one[2]]),
        ("that hold nothing", [one for one in found if not one[2]]),
        ("all", found),
    ):
        print(f"  {name}: {row(some)}")


def row(found: list[tuple[int, int | None, bool]]) -> str:
    """Settled, rightly or wrongly, and the median number of holes."""
    counts = [count for _, count, _ in found if count is not None]
    right = sum(
        (verdict == BEARING) == bears for verdict, count, bears in found if count is not None
    )
    every = [np.inf if count is None else count for _, count, _ in found]
    return (
        f"{len(found)}, settled {len(counts) / len(found):.0%} (rightly {right / len(found):.0%}); "
        f"holes, median of the settled {median(counts):g}, of all {median(every):g}"
    )


if __name__ == "__main__":
    main(sys.argv[1:])
