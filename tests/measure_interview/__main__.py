"""Measure interviews: ``python -m tests.measure_interview [--seed 1801] [--walls 2000]``.

On tuning seeds only (docs/method.md).  A careful reporter, each kind of house in turn.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Sequence
from dataclasses import replace

from tests.measure_interview.checks import Checks, checks
from tests.measure_interview.people import asked_about
from tests.measure_interview.second_looks import SecondLooks, second_looks
from tests.measure_interview.walk import Group, Walk, walk
from walltriage.knowledge.load import load_knowledge
from walltriage.lab.interviews import Interviewer
from walltriage.lab.run import generator_version
from walltriage.rules_folder import default_rules_folder

TUNING = range(1000, 3000)
PLACES_OF, OPEN_WALLS = 200, 500


def main(words: list[str]) -> int:
    """Hold the interviews and print the three figures with what they rest on."""
    parser = argparse.ArgumentParser(prog="measure_interview", description=__doc__)
    parser.add_argument("--seed", type=int, default=1801)
    parser.add_argument("--walls", type=int, default=2000)
    parser.add_argument(
        "--open", type=int, default=OPEN_WALLS, help="open walls whose checks are tried"
    )
    parser.add_argument("--reporter", default="careful")
    parser.add_argument(
        "--overlooked", type=float, default=0.0,
        help="share of things seen that are not picked where several stand on one page",
    )  # fmt: skip
    parser.add_argument(
        "--second-looks",
        action="store_true",
        help="second looks at the walls not called bearing, too",
    )
    parser.add_argument("--alone", action="store_true", help="ask every question by itself")
    options = parser.parse_args(words)
    if options.seed not in TUNING:
        parser.error("only tuning seeds are for this: 1000 to 2999")
    base = load_knowledge(default_rules_folder())
    if options.alone:
        base = replace(base, glances=())
    interviewer = Interviewer(base, options.overlooked)
    began = time.perf_counter()
    walls = [
        asked_about(options.seed, index, options.reporter, len(base.questions))
        for index in range(options.walls)
    ]
    told, held = walk(interviewer, walls, PLACES_OF)
    print(f"seed {options.seed}, reporter {options.reporter}, overlooked {options.overlooked:.0%}, "
          f"{'each question alone, ' if options.alone else ''}rules {base.sha256[:10]}, "
          f"generator {generator_version()}, {told.interviews} interviews")  # fmt: skip
    print_walk(told)
    if options.open:
        print_checks(checks(interviewer, walls, held, options.open))
    if options.second_looks:
        print_second_looks(second_looks(interviewer, walls, held, options.seed), told)
    print(f"{time.perf_counter() - began:.0f} s")
    return 0


def print_walk(told: Walk) -> None:
    """Places and questions."""
    print(f"place changes, median of the first {PLACES_OF}: {told.moves:g} "
          f"(with what is asked from a chair: {told.headings:g}); "
          f"sent to a place twice: {told.twice:.0%}")  # fmt: skip
    print(f"bearing walls called non-bearing: {told.missed} of {told.bears}")
    print(f"questions, median of all: {told.asked:g}; ended by {told.stops}")
    print_groups(told.groups)


def print_groups(groups: Sequence[Group]) -> None:
    """What interviews keep of what all answers recognize."""
    for group in groups:
        kept = group.kept / group.by_all if group.by_all else float("nan")
        print(f"{group.name}: {group.questions:g} questions to the verdict; keeps "
              f"{group.kept} of {group.by_all} all answers recognize ({kept:.0%}), "
              f"recognizes {group.recognized}")  # fmt: skip


def print_checks(found: Checks) -> None:
    """The first three checks."""
    print(f"first three checks of {found.walls} open walls: with the largest expected change "
          f"{found.largest / max(found.walls, 1):.0%}; of {found.could} that one true answer "
          f"settles, named {found.settled / max(found.could, 1):.0%}")  # fmt: skip


def print_second_looks(found: SecondLooks, told: Walk) -> None:
    """What second looks bring."""
    print(f"second looks: of {found.walls} open walls ({found.bears} bear) and {found.clear} "
          f"called non-bearing {found.offered} have "
          f"something to look at again, {found.guesses} a guess; {found.asked:.1f} more questions "
          f"for each of those; bearing walls called non-bearing {told.missed} -> {found.missed}; "
          f"with them, beside all answers with them:")  # fmt: skip
    print_groups(found.groups)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
