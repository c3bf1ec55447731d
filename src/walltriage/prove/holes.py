"""No set of holes that leaves a gap tells of the whole top of a wall: every set, one by one."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise

from walltriage.case.looks import Look, WallLooks
from walltriage.inference.seen_along import Reach
from walltriage.inference.seen_answers import reach_of, with_looks
from walltriage.language import say
from walltriage.prove.prover import Proof, Prover

FOOT_IN = 12
LENGTHS_FT = range(2, 11)
"""Lengths of wall that are tried; a longer one has the same gaps, only more of them."""


def holes_with_a_gap(prover: Prover) -> Proof:
    """Every set of clear holes a foot apart or more, on walls of every length.

    Where two neighboring holes are farther apart than the rules allow, or one end was not
    opened, no question that holes answer is answered as if all of the top had been seen.
    """
    rules = prover.base.seen_along
    if rules is None:
        return Proof(True, say("no looks along a wall in these rules"))
    entries = [e for e in rules.answers if "hole" in e.seen_from and e.clear]
    tried = 0
    for length_in, spots in hole_sets():
        looks = WallLooks(
            "", length_in=float(length_in),
            looks=tuple(Look("hole", float(at), float(at), saw="nothing_rests") for at in spots),
        )  # fmt: skip
        answers = with_looks(prover.base, looks, {})
        for entry in entries:
            answer = answers.get(entry.question)
            reach = reach_of(rules.reach(entry.reach))
            clear = answer is not None and answer.value in entry.clear.values()
            if clear and leaves_a_gap(spots, length_in, reach):
                where = ", ".join(f"{at / FOOT_IN:g}" for at in spots)
                told = say(
                    "holes at {where} ft of {length:g} ft tell '{question}' of the whole wall",
                    where=where,
                    length=length_in / FOOT_IN,
                    question=entry.question,
                )
                return Proof(False, told)
        tried += 1
    return Proof(True, say("{count} sets of holes", count=tried))


def hole_sets() -> Iterator[tuple[int, tuple[int, ...]]]:
    """Each length in inches with each set of spots on its foot marks, at least one."""
    for feet in LENGTHS_FT:
        marks = [FOOT_IN * foot for foot in range(feet + 1)]
        for count in range(1, len(marks) + 1):
            for spots in combinations(marks, count):
                yield FOOT_IN * feet, spots


def leaves_a_gap(spots: tuple[int, ...], length_in: float, reach: Reach) -> bool:
    """Whether holes at these spots, in rising order, leave more unseen than the reach allows."""
    ends = spots[0] > reach.end_in or length_in - spots[-1] > reach.end_in
    return ends or any(there - here > reach.gap_in for here, there in pairwise(spots))
