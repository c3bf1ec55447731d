"""What one person waits for, against its aims and against a plain loop around the engine.

    python -m tests.benchmarks.interactive

Commands are started afresh, with parsed rules kept and without.  Times by the clock mean
little on a machine that others use too; processor time is given beside them.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import median, quantiles

from tests.benchmarks.interview_times import first_page, steps
from tests.conftest import RULES
from tests.inference.answer_sets import random_answers
from tests.unit.study.case_lines import random_case
from walltriage.case.model import Answer
from walltriage.case.write import case_text
from walltriage.inference.evaluate import Evaluation
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge

STARTS = 9


def started(arguments: list[str], cache: Path) -> tuple[float, float]:
    """Seconds by the clock, and of the processor, of one run of the command."""
    command = [sys.executable, "-m", "walltriage", *arguments]
    nowhere = [(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)]
    environment = {**os.environ, "XDG_CACHE_HOME": str(cache)}
    start = time.perf_counter()
    process = os.posix_spawn(sys.executable, command, environment, file_actions=nowhere)
    _, status, used = os.wait4(process, 0)
    assert status == 0
    return time.perf_counter() - start, used.ru_utime + used.ru_stime


def command(what: str, arguments: list[str], aim: str, keep: bool) -> None:
    """Print the medians of some starts."""
    with tempfile.TemporaryDirectory() as kept:
        times = []
        for _ in range(STARTS):
            with tempfile.TemporaryDirectory() as fresh:
                times.append(started(arguments, Path(kept if keep else fresh)))
    clock, processor = (median(column) for column in zip(*times, strict=True))
    print(f"{what:42s} {clock:6.2f} s, processor {processor:.2f} s   {aim}", flush=True)


def naive_step(triager: Triager, answers: dict[str, Answer]) -> float:
    """Seconds to choose a question by running the engine on every answer it could get."""
    start = time.perf_counter()
    result = triager.evaluator.evaluate(answers)
    best = ("", 2.0)
    for name, tried in open_questions(triager, answers, result):
        widths = []
        for value in tried:
            after = triager.evaluator.evaluate({**answers, name: Answer(value)})
            widths.append(after.measures["upper"] - after.measures["lower"])
        best = min(best, (name, sum(widths) / len(widths)), key=lambda item: item[1])
    return time.perf_counter() - start


def open_questions(
    triager: Triager, answers: dict[str, Answer], result: Evaluation
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Questions that apply and are not answered, with what can be answered."""
    for name in triager.evaluator.applicable(result):
        if name not in answers and triager.base.questions[name].values:
            yield name, triager.base.questions[name].values


def main() -> None:
    """Measure and print."""
    print(f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}")
    triager = Triager(load_knowledge(RULES))
    command("--help", ["--help"], "aim 0.15 s", True)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "case.yaml")
        path.write_text(case_text(random_case(triager.base, 1, 0.3)))
        command("triage, rules parsed each time", ["triage", str(path)], "", False)
        command("triage, rules kept", ["triage", str(path)], "aim 0.4 s", True)
    print(f"{'first page of an interview':42s} {median(first_page()):6.2f} s   aim 0.35 s")
    waits = steps()
    ninety_nine = quantiles(waits, n=100)[-1]
    print(f"{'answer to next question, median':42s} {median(waits) * 1e3:6.0f} ms   aim 10 ms")
    print(
        f"{'answer to next question, 99 in 100 under':42s} {ninety_nine * 1e3:6.0f} ms   aim 30 ms"
    )
    naive = naive_step(triager, random_answers(triager.base, 3, 0.1))
    print(f"{'the same by trying every answer':42s} {naive:6.1f} s", flush=True)
    print(f"{'  times ours':42s} {naive / median(waits):6.0f}")


if __name__ == "__main__":
    main()
