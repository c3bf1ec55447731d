"""A table printed line by line as it is measured: what, how much, and the goal for it."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from statistics import median


class Table:
    """Prints lines; ``missed`` collects what did not reach its goal."""

    def __init__(self) -> None:
        self.missed: list[str] = []

    def head(self) -> None:
        """What machine this is, and how busy: times mean little without."""
        load = ", ".join(f"{part:.1f}" for part in os.getloadavg())
        python = sys.version.split()[0]
        print(f"{os.cpu_count()} cores, load {load}; Python {python}; {yardstick()}", flush=True)

    def line(self, what: str, measured: str, note: str = "") -> None:
        print(f"{what:58s} {measured:>26s}  {note}".rstrip(), flush=True)

    def at_least(self, what: str, value: float, goal: float, form: str) -> None:
        """A line with a goal to reach; ``form`` is how values read, such as ``{:.1f} s``."""
        self._goal(what, value, value >= goal, "at least", goal, form)

    def at_most(self, what: str, value: float, goal: float, form: str) -> None:
        """A line with a goal not to exceed."""
        self._goal(what, value, value <= goal, "at most", goal, form)

    def _goal(self, what: str, value: float, met: bool, bound: str, goal: float, form: str) -> None:
        if not met:
            self.missed.append(what.strip())
        verdict = "" if met else ": MISSED"
        self.line(what, form.format(value), f"goal {bound} {form.format(goal)}{verdict}")

    def foot(self) -> None:
        """How many goals were missed, and the load by now."""
        load = f"load {os.getloadavg()[0]:.1f} at the end"
        print(f"{len(self.missed)} goals missed; {load}; {yardstick()}", flush=True)


def yardstick() -> str:
    """How fast plain Python runs here and now: what tables of two machines, or of one machine at
    two hours, have to be set against."""
    seconds = timed(lambda: sum(number * number for number in range(1_000_000)), 5)
    return f"a million squares summed in {seconds * 1e3:.0f} ms"


def timed(
    work: Callable[[], object], repeats: int, clock: Callable[[], float] = time.process_time
) -> float:
    """Median seconds of ``repeats`` runs after one to warm up.

    Of this process alone, so that others on the machine hardly matter; pass
    ``time.perf_counter`` for work in several processes.
    """
    work()
    times = []
    for _ in range(repeats):
        start = clock()
        work()
        times.append(clock() - start)
    return median(times)
