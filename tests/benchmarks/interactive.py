"""What one person waits for, against the goals and against a plain loop around the engine.

Commands are started afresh, with parsed rules kept and without.  Times by the clock mean
little on a machine that others use too; processor time is given beside them.
"""

from __future__ import annotations

import os
import random
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import median, quantiles

from tests.benchmarks.table import Table
from tests.conftest import RULES
from tests.inference.answer_sets import random_answers
from tests.interview.answering import PLAIN_HOUSE, TRUSS_HOUSE, Answering
from tests.interview.person import Person
from tests.unit.bulk.case_lines import random_case
from walltriage.case.model import Answer, Case, Wall
from walltriage.case.write import case_text
from walltriage.commands.common import load_triager
from walltriage.inference.engine.evaluate import Evaluation
from walltriage.inference.triage import Triager
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session
from walltriage.knowledge.base import KnowledgeBase

STARTS = 9
WALLS, ANSWERS = 50, 2000  # at least, of interviews
SETTLED = ("house_kind", "walls_made_of", "levels_in_house")  # else most leave the scope at once


def started(arguments: list[str], cache: Path) -> tuple[float, float]:
    """Seconds by the clock, and of the processor, of one run of the command."""
    command = [sys.executable, "-m", "walltriage", *arguments]
    nowhere = [(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)]
    environment = {**os.environ, "XDG_CACHE_HOME": str(cache)}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # compiled once, as whatever is installed
    start = time.perf_counter()
    process = os.posix_spawn(sys.executable, command, environment, file_actions=nowhere)
    _, status, used = os.wait4(process, 0)
    assert status == 0
    return time.perf_counter() - start, used.ru_utime + used.ru_stime


def command(table: Table, what: str, arguments: list[str], goal: float | None) -> None:
    """The medians of some starts; without a goal, each has to parse the rules."""
    starts = 3 if "cover" in arguments else STARTS
    with tempfile.TemporaryDirectory() as kept:
        times = []
        for _ in range(starts):
            with tempfile.TemporaryDirectory() as fresh:
                times.append(started(arguments, Path(kept if goal else fresh)))
    clock, processor = (median(column) for column in zip(*times, strict=True))
    if goal is None:
        table.line(what, f"{clock:.2f} s")
    else:
        table.at_most(what, clock, goal, "{:.2f} s")
    table.line("  processor time", f"{processor:.2f} s")


def first_page() -> list[tuple[float, float]]:
    """Seconds from starting the interview to its first prompt, on a terminal, by the clock and of
    the processor."""
    times = []
    for _ in range(STARTS):
        with tempfile.TemporaryDirectory() as folder:
            start = time.perf_counter()
            person = Person(Path(folder), rules=None, fresh=True)
            person.at_prompt()
            clock = time.perf_counter() - start
            about = Path(f"/proc/{person.child.pid}/stat").read_text().rpartition(")")[2].split()
            used = (int(about[11]) + int(about[12])) / os.sysconf("SC_CLK_TCK")
            times.append((clock, used))
            person.child.close(force=True)
    return times


class Unlike(Answering):
    """Somebody before a wall of its own: now and then not what is likeliest."""

    def __init__(self, base: KnowledgeBase, seed: int) -> None:
        draw = random.Random(seed)
        super().__init__(base, draw.choice((PLAIN_HOUSE, TRUSS_HOUSE)))
        given = {
            name: answer.given or answer.value
            for name, answer in random_answers(base, seed, 0.2).items()
        }
        self.answers = given | {name: self.answers[name] for name in SETTLED}


def steps(base: KnowledgeBase, quick: bool) -> list[tuple[float, float]]:
    """From each answer to the next question, by the clock and of the processor.

    Through whole interviews about many walls, each with a planner that has seen none before.
    """
    times: list[tuple[float, float]] = []
    seed = 0
    while len(times) < (ANSWERS // 5 if quick else ANSWERS) or seed < (
        WALLS // 5 if quick else WALLS
    ):
        person, seed = Unlike(base, seed), seed + 1
        session = Session(Planner(Triager(base)), Case(walls=(Wall("w1", "w"),), reach=4))
        while session.step is not None:
            value = person.value(session.question(session.step))
            start, used = time.perf_counter(), time.process_time()
            session.answer(value)
            times.append((time.perf_counter() - start, time.process_time() - used))
    return times


def naive_step(triager: Triager, answers: dict[str, Answer]) -> float:
    """Seconds to choose a question by running the engine on every answer it could get."""
    start = time.process_time()
    result = triager.evaluator.evaluate(answers)
    best = ("", 2.0)
    for name, tried in open_questions(triager, answers, result):
        widths = []
        for value in tried:
            after = triager.evaluator.evaluate({**answers, name: Answer(value)})
            widths.append(after.measures["upper"] - after.measures["lower"])
        best = min(best, (name, sum(widths) / len(widths)), key=lambda item: item[1])
    return time.process_time() - start


def open_questions(
    triager: Triager, answers: dict[str, Answer], result: Evaluation
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Questions that apply and are not answered, with what can be answered."""
    for name in triager.evaluator.applicable(result):
        if name not in answers and triager.base.questions[name].values:
            yield name, triager.base.questions[name].values


def measure(table: Table, quick: bool) -> None:
    """Measure and print."""
    triager = load_triager(RULES)
    command(table, "--help", ["--help"], 0.15)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "case.yaml")
        path.write_text(case_text(random_case(triager.base, 1, 0.3)))
        command(table, "triage, rules parsed each time", ["triage", str(path)], None)
        command(table, "triage, rules kept", ["triage", str(path)], 0.3)
    clock, processor = (median(column) for column in zip(*first_page(), strict=True))
    table.at_most("first page of an interview", clock, 0.3, "{:.2f} s")
    table.line("  processor time", f"{processor:.2f} s")
    command(table, "rules cover", ["rules", "cover"], 8)
    waits = steps(triager.base, quick)
    table.line("  answers timed, on many walls", f"{len(waits):,d}")
    for clock, name in enumerate(("", ", processor time")):
        times = [wait[clock] * 1e3 for wait in waits]
        last = quantiles(times, n=100)[-1]
        table.at_most(f"answer to next question, median{name}", median(times), 5, "{:.1f} ms")
        table.at_most(f"answer to next question, 99 in 100{name}", last, 15, "{:.1f} ms")
    given = random_answers(triager.base, 3, 0.1)
    naive = median(naive_step(triager, given) for _ in range(1 if quick else 3))
    table.line("the same by trying every answer in the engine", f"{naive:.1f} s")
    ours = median(wait[1] for wait in waits)
    table.line("  times ours, processor time", f"{naive / ours:,.0f} times")
