"""People whose attic photos an engineer has checked, beside people whose word stands alone.

A photo shows what stood before the camera: the wrong wall's place to whoever stood there, and no
more of the top than was in sight.  It mends what was read wrongly from the right place and what
somebody did not dare to say; it does not move the camera.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any

import numpy as np

from walltriage.case.model import CHECKED, OUT_OF_REACH, Answer, Sureness
from walltriage.inference.columns.codes import joined
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.knowledge.base import AskedQuestion, KnowledgeBase
from walltriage.lab.all_answers import check_size
from walltriage.lab.answers import Reach, Truth, answer_all
from walltriage.lab.findings import Scene, found
from walltriage.lab.house.build import generator
from walltriage.lab.house.model import House, Wall
from walltriage.lab.measures import measure
from walltriage.lab.mixes import Mix
from walltriage.lab.parameters import parameters
from walltriage.lab.reporter import Person
from walltriage.lab.run import CHUNK, generator_version
from walltriage.language import say

CHECKED_OF, BESIDE = "usual", ("usual", "careful", "perfect")
PLACE, KIND = "attic", "seen"
PHOTOS_CHECKED, AS_CERTAIN = "photos checked", "the same as certain"
SHOWN = 0.75
"""Share of looks of which a photo shows what was asked; judgment, no source."""
READS_AS = "careful"
"""Whose slips an engineer makes who reads a photo and was not there; judgment, no source."""


class Checked(Person):
    """A person, with an engineer who marks what was told of the attic by its photos."""

    def __init__(
        self, kind: str, house: House, wall: Wall, rng: np.random.Generator, draws: int,
        reach: int | None, engineer: np.random.Generator, counts_as: Sureness = CHECKED,
    ) -> None:  # fmt: skip
        super().__init__(kind, house, wall, rng, draws, reach)
        self._counts_as = counts_as
        self._marks = engineer.random((draws, 3))
        self._misreads = parameters()["reporters"][READS_AS][KIND]

    def answer(self, question: AskedQuestion, column: int) -> Answer:
        """What counts once the engineer has marked the answer; the person's word elsewhere."""
        told = super().answer(question, column)
        entry = question.entry
        if question.place != PLACE or entry.kind != KIND or entry.answer != "choice":
            return told
        shows = found(self._before_camera(), question)
        shown, reads, which = self._marks[column]
        if not isinstance(shows, str) or shows == OUT_OF_REACH or shown >= SHOWN:
            return told  # "cannot be seen": the person's word stays as it was
        others = [value for value in question.values if value != shows]
        if others and reads < self._misreads:
            shows = others[int(which * len(others))]
        return Answer(shows, None, shows, self._counts_as)

    def _before_camera(self) -> Scene:
        """What stood where the person was, at the right place or not."""
        return self._other if PLACE in self._lost and self._other is not None else self._scene


def study_checked(
    base: KnowledgeBase, walls: int, seed: int, reach: Reach, mix: Mix
) -> dict[str, Any]:
    """The same walls told by usual people, by them with checked photos, and by better ones.

    Raises :class:`InputError` for a number of walls or a seed that makes no sense.
    """
    check_size(walls, seed)
    evaluator = ColumnEvaluator(base)

    def checked(
        counts_as: Sureness, house: House, wall: Wall, index: int, draws: int, effort: int
    ) -> Person:
        rng = generator(seed, index, f"person {CHECKED_OF}")
        engineer = generator(seed, index, "engineer at the photos")
        return Checked(CHECKED_OF, house, wall, rng, draws, effort, engineer, counts_as)

    def row(reporter: str, counts_as: Sureness | None = None) -> dict[str, Any]:
        make = None if counts_as is None else partial(checked, counts_as)
        parts = [
            answer_all(evaluator, seed, range(start, min(start + CHUNK, walls)), reporter, reach,
                       mix, make)
            for start in range(0, walls, CHUNK)
        ]  # fmt: skip
        batch = joined([part[0] for part in parts])
        truth = Truth.joined([part[1] for part in parts])
        return measure(evaluator.evaluate(batch), truth)

    rows = {
        f"{CHECKED_OF}, {PHOTOS_CHECKED}": row(CHECKED_OF, CHECKED),
        f"{CHECKED_OF}, {AS_CERTAIN}": row(CHECKED_OF, "certain"),
    }
    rows |= {reporter: row(reporter) for reporter in BESIDE}
    return {
        "schema": "walltriage/checked/1",
        "seed": seed, "reach": reach, "mix": mix, "walls": walls,
        "rules": {"version": base.version, "sha256": base.sha256},
        "generator": generator_version(), "shown": SHOWN, "reads_as": READS_AS,
        "people": {name: rows[name] for name in sorted(rows, key=_order)},
    }  # fmt: skip


def _order(name: str) -> tuple[int, str]:
    """Usual people, then with checked photos, then the others as listed."""
    return BESIDE.index(name.split(",")[0]), name


def lines(study: dict[str, Any]) -> Iterator[str]:
    """The study as a table, a line each."""
    yield (
        f"{say('people'):>26} {say('missed'):>16} {say('95 % bound'):>11} "
        f"{say('non-bearing'):>12} {say('bearing'):>8} {say('its precision'):>14} "
        f"{say('slope'):>6}"
    )
    for name, row in study["people"].items():
        missed = row["missed"]
        yield (
            f"{_people(name):>26} {missed['count']:>6} / {missed['of']:>7} "
            f"{missed['bound95']:>11.3%} "
            f"{_share(row['nonbearing_recognised']):>12} {_share(row['bearing_recognised']):>8} "
            f"{_share(row['bearing_precision']):>14} {row['slope']:>6.2f}"
        )
    yield say(
        "An engineer marked what was seen from the attic where a photo shows it ({shown:.0%} of "
        "looks, reading as well as {reads_as} people look; both are judgment). Simulated houses "
        "and people; no field rate is known.",
        shown=study["shown"],
        reads_as=study["reads_as"],
    )


def _people(name: str) -> str:
    """The name of a row in words: whose answers, and what an engineer did to them."""
    who, comma, how = name.partition(", ")
    return f"{who}{comma}{say(how)}"


def _share(value: float | None) -> str:
    return say("none there") if value is None else f"{value:.1%}"
