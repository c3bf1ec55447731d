"""How long a person waits: to the first page, and from an answer to the next question.

    python -m tests.benchmarks.interview_times

Aims: 0.4 s and 50 ms, in the median, on two cores that have nothing else to do.
"""

from __future__ import annotations

import tempfile
import time
from pathlib import Path
from statistics import median, quantiles

from tests.conftest import RULES
from tests.interview.answering import PLAIN_HOUSE, Answering
from tests.interview.person import Person
from walltriage.case.model import Case, Wall
from walltriage.inference.triage import Triager
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session
from walltriage.knowledge.load import load_knowledge

STARTS = 9


def first_page() -> list[float]:
    """Seconds from starting the command to the first prompt."""
    times = []
    for _ in range(STARTS):
        with tempfile.TemporaryDirectory() as folder:
            start = time.perf_counter()
            person = Person(Path(folder), rules=None)
            person.at_prompt()
            times.append(time.perf_counter() - start)
            person.child.close(force=True)
    return times


def steps() -> list[float]:
    """Seconds from each answer to the next question, through three whole interviews."""
    planner = Planner(Triager(load_knowledge(RULES)))
    person, times = Answering(planner.base, PLAIN_HOUSE), []
    for changed in ({}, {"above_wall": "rooms_all_along"}, {"attic_frame": "trusses"}):
        person.answers = PLAIN_HOUSE | changed
        session = Session(planner, Case(walls=(Wall("w1", "w"),), reach=4))
        while session.step is not None:
            value = person.value(session.question(session.step))
            start = time.perf_counter()
            session.answer(value)
            times.append(time.perf_counter() - start)
    return times


if __name__ == "__main__":
    starts, waits = first_page(), steps()
    print(f"first page: median {median(starts):.2f} s of {len(starts)} starts")
    print(
        f"answer to next question: median {median(waits) * 1000:.0f} ms, "
        f"95 in 100 under {quantiles(waits, n=20)[-1] * 1000:.0f} ms, of {len(waits)} answers"
    )
