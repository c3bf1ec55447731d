"""How many questions each of several walls takes, and how long an answer takes with twenty.

    python -m tests.benchmarks.house_walls

One invented house, 44 ft by 28 ft over a crawl space, and one careful person, who answers every
question; once without a plan and once with each wall drawn.  The pages that draw are counted
beside the questions, because they cost attention too.
"""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from dataclasses import replace
from statistics import mean, median

import numpy as np

from tests.benchmarks.table import Table, timed
from tests.conftest import RULES
from tests.interview.answering import PLAIN_HOUSE, Answering
from tests.unit.bulk.case_lines import random_case
from walltriage.case.model import HOUSE, Case, Wall
from walltriage.case.plan import DrawnLine, Length, Part, Plan
from walltriage.inference.engine.evaluate import Evaluator
from walltriage.inference.triage import Triager
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.load import load_knowledge
from walltriage.report.files import make_request, rendered

COUNTS = (1, 3, 6)
GROWING = (1, 3, 10, 30, 100)
MANY, HAS = 20, 6
OUTLINE_PAGES, PAGES_A_WALL = 7, 6  # of an interview: sizes and ridge; where each wall stands


def _in(feet: float) -> Length:
    return Length(feet * 12, f"{feet:g} ft")


def lines() -> Iterator[DrawnLine]:
    """Walls one after another: along the house and across it, no two on one line."""
    for number in range(MANY):
        along = "front" if number % 2 == 0 else "left"
        off = 6 + number * 0.8 if along == "front" else 5 + number * 1.9
        end = 20 + number % 5 if along == "front" else 12 + number % 4
        yield DrawnLine(along, _in(off), _in(0), _in(end), "ground", "", f"w{number + 1}")  # type: ignore[arg-type]


def house(walls: int, drawn: bool) -> Case:
    """The house with its first few walls in question; six at least are there, and drawn."""
    levels = ("crawl_space", "ground")
    plan = Plan(
        _in(0.25), levels, ("ground",), (Part("main", _in(44), _in(28), levels),),
        (DrawnLine("front", _in(14), _in(0), _in(44)),), tuple(
            line if number < walls else replace(line, wall="", name=f"inner wall {number}")
            for number, line in enumerate(list(lines())[: max(walls, HAS)])
        ),
    )  # fmt: skip
    names = tuple(Wall(f"w{n + 1}", f"wall {n + 1}") for n in range(walls))
    return Case(walls=names, reach=2, plan=plan if drawn else None)


def interview(planner: Planner, person: Answering, case: Case) -> tuple[Case, list[float]]:
    """A whole interview: the case, and the seconds from each answer to the next question."""
    session, waits = Session(planner, case), []
    while session.step is not None:
        value = person.value(session.question(session.step))
        start = time.process_time()
        session.answer(value)
        waits.append(time.process_time() - start)
    return session.case, waits


class Counted(Evaluator):
    """An evaluator that counts its runs of the engine."""

    runs = 0

    def evaluate(self, answers):  # type: ignore[no-untyped-def]
        self.runs += 1
        return super().evaluate(answers)


def measure(table: Table) -> None:
    """One house of twenty walls, drawn, in the table of all benchmarks."""
    base = load_knowledge(RULES)
    triager = Triager(base)
    case, waits = interview(Planner(triager), Answering(base, PLAIN_HOUSE), house(MANY, True))
    times = [wait * 1e3 for wait in waits]
    what = f"{MANY} walls of one house, an answer, processor time"
    table.at_most(f"{what}, mean", mean(times), 30, "{:.0f} ms")
    table.at_most(f"{what}, worst", max(times), 150, "{:.0f} ms")
    fresh = Triager(base)
    table.at_most("  their finding", timed(lambda: fresh.finding(case), 1), 0.6, "{:.2f} s")
    told = timed(lambda: rendered(make_request(Triager(base), case, "2026-01-01"), "html"), 3)
    table.at_most("  their finding and report, rules compiled too", told, 1.2, "{:.2f} s")


def large_house(base: KnowledgeBase, walls: int) -> Case:
    """So many walls in question, each drawn and answered at random, 160 ft by 76 ft."""
    levels = ("crawl_space", "ground")
    drawn = []
    for number in range(walls):
        along = "front" if number % 2 == 0 else "left"
        off = 3 + number // 2 * (1.4 if along == "front" else 3)
        end = 20 + number % 5 if along == "front" else 12 + number % 4
        at = _in(off), _in(0), _in(end)
        drawn.append(DrawnLine(along, *at, "ground", "", f"w{number + 1}"))  # type: ignore[arg-type]
    plan = Plan(
        _in(0.25), levels, ("ground",), (Part("main", _in(160), _in(76), levels),),
        (DrawnLine("front", _in(38), _in(0), _in(160)),), tuple(drawn),
    )  # fmt: skip
    case = random_case(base, 3, 0.2, walls)
    house = {name: answer for name, answer in case.house.items() if name != "house_kind"}
    return replace(case, house=house, plan=plan)


def growth(table: Table, quick: bool) -> None:
    """The finding of one drawn house, from one wall to a hundred."""
    base = load_knowledge(RULES)
    seconds = []
    for walls in GROWING:
        case, times = large_house(base, walls), []
        for _ in range(2 if quick else 4):
            triager = Triager(base)
            start = time.process_time()
            triager.finding(case)
            times.append(time.process_time() - start)
        seconds.append(min(times))
        table.line(f"  {walls} walls of one house", f"{seconds[-1] * 1e3:,.0f} ms",
                   f"{seconds[-1] / walls * 1e3:.0f} ms a wall")  # fmt: skip
    slope = float(np.polyfit(np.log(GROWING), np.log(seconds), 1)[0])
    table.at_most("growth with walls: log time over log walls", slope, 1.2, "{:.2f}")


def main() -> None:
    """Measure and print."""
    print(f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}")
    base = load_knowledge(RULES)
    person = Answering(base, PLAIN_HOUSE)
    print("walls   plan   of the house   of each wall   all / walls   pages that draw / walls")
    for count in COUNTS:
        for drawn in (False, True):
            case, _ = interview(Planner(Triager(base)), person, house(count, drawn))
            own = sum(step.subject != HOUSE for step in case.asked)
            pages = (OUTLINE_PAGES + PAGES_A_WALL * HAS) / count if drawn else 0
            print(
                f"{count:5d}   {'yes' if drawn else 'no':>4s}   {len(case.asked) - own:12d}   "
                f"{own / count:12.1f}   {len(case.asked) / count:11.1f}   {pages:.1f}"
            )
    for count in (1, MANY):
        triager = Triager(base)
        triager.evaluator = Counted(base)
        case, waits = interview(Planner(triager), person, house(count, True))
        runs = triager.evaluator.runs / len(waits)
        print(
            f"{count} walls: {median(waits) * 1e3:.0f} ms processor an answer in the median, "
            f"worst {max(waits) * 1e3:.0f} ms, of {len(waits)} answers; engine runs an answer: "
            f"{runs:.1f}", flush=True,
        )  # fmt: skip


if __name__ == "__main__":
    main()
