"""How long a large rules folder takes: to be read, and to be told broken everywhere.

Run: python -m tests.benchmarks.many_rules [copies of the small path, 167 for 1,000 rules]
"""

from __future__ import annotations

import gc
import re
import shutil
import sys
import tempfile
import time
from functools import partial
from pathlib import Path

import numpy as np

from tests.benchmarks.table import Table
from tests.benchmarks.table import timed as timed_quietly
from tests.inference.answer_sets import random_answers
from walltriage.case.model import Answer
from walltriage.errors import InputError
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.inference.engine.closure import RuleClosures
from walltriage.inference.engine.evaluate import Evaluator
from walltriage.knowledge.lints.model import run_lints
from walltriage.knowledge.load import load_knowledge
from walltriage.rule_testing.lints import ALL_LINTS
from walltriage.rule_testing.rule_cases import run_cases

SMALL = Path(__file__).resolve().parents[1] / "small_rules"
QUESTIONS = ("joists_run", "joists_end", "wall_below")
OWN_IDS = re.compile(
    r"\b((?:rate|clue|sign)_[a-z_]+|framing_above|joist_run|joist_break|support_below)\b"
)


def write_folder(folder: Path, copies: int) -> None:
    """The small rules with their path and its questions repeated under other ids."""
    shutil.copytree(SMALL, folder)
    path_text = (SMALL / "load_paths" / "framing_above.yaml").read_text(encoding="utf-8")
    question_text = (SMALL / "questions" / "all.yaml").read_text(encoding="utf-8")
    head, *blocks = question_text.split("  - id: ")
    more = [block for block in blocks if block.startswith(QUESTIONS)]
    asked = re.compile(rf"\b({'|'.join(QUESTIONS)})\b")
    for copy in range(copies - 1):
        renamed = OWN_IDS.sub(rf"\1_{copy}", asked.sub(rf"\1_{copy}", path_text))
        (folder / "load_paths" / f"copy_{copy}.yaml").write_text(renamed, encoding="utf-8")
        questions = head + "".join("  - id: " + asked.sub(rf"\1_{copy}", b) for b in more)
        (folder / "questions" / f"copy_{copy}.yaml").write_text(questions, encoding="utf-8")


BREAKS = {
    "questions misspelt": lambda text: re.sub(r"\b(joists_end|wall_below)", r"\1x", text),
    "keys misspelt and limits gone": lambda text: re.sub(r"\n    limits:.*", "", text).replace(
        "status:", "statsu:"
    ),
    "not YAML": lambda text: text.replace("signs:", "signs: ["),
}


def break_all(whole: Path, folder: Path, how: str) -> None:
    """A copy of a rules folder with the same kind of mistake in every load path."""
    shutil.copytree(whole, folder)
    for path in (folder / "load_paths").glob("*.yaml"):
        path.write_text(BREAKS[how](path.read_text(encoding="utf-8")), encoding="utf-8")


def timed(label: str, work):
    """Run and print how long it took."""
    start = time.perf_counter()
    result = work()
    print(f"{label}: {time.perf_counter() - start:.2f} s")
    return result


def problems_of(folder: Path) -> int:
    """How many mistakes the loader tells."""
    try:
        load_knowledge(folder)
    except InputError as error:
        return len(error.problems)
    return 0


def growth(table: Table, quick: bool) -> None:
    """How evaluation grows from some 200 rules to 2,000."""
    counts, one, many = [], [], []
    for copies in (33, 67, 133) if quick else (33, 67, 133, 333):
        with tempfile.TemporaryDirectory() as scratch:
            folder = Path(scratch) / "rules"
            write_folder(folder, copies)
            base = load_knowledge(folder)
        evaluator, columns = Evaluator(base), ColumnEvaluator(base)
        gc.freeze()  # as commands do: a large base is not searched for garbage again and again
        sets = [random_answers(base, seed, 0.3) for seed in range(20)]
        batch = columns.coder.encode(sets * 100)
        counts.append(sum(1 for _ in base.rules()))
        work = partial(_each, evaluator, sets)
        one.append(timed_quietly(work, 5) / len(sets))
        many.append(timed_quietly(partial(columns.evaluate, batch), 5) / len(batch))
        told = f"{one[-1] * 1e3:.1f} ms a wall, {many[-1] * 1e6:.0f} us in columns"
        table.line(f"  {counts[-1]:,d} rules", told)
    for what, seconds in (("one wall", one), ("columns", many)):
        slope = float(np.polyfit(np.log(counts), np.log(seconds), 1)[0])
        table.at_most(f"growth with rules, {what}: log time over log rules", slope, 1.1, "{:.2f}")


def _each(evaluator: Evaluator, sets: list[dict[str, Answer]]) -> None:
    for given in sets:
        evaluator.evaluate(given)


def main(copies: int) -> None:
    """Write the folder, time it whole and broken."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "rules"
        write_folder(folder, copies)
        base = timed("read", lambda: load_knowledge(folder))
        print(f"{sum(1 for _ in base.rules())} rules, {len(base.questions)} questions")
        evaluator = timed("compile", lambda: Evaluator(base))
        timed("lints", lambda: run_lints(ALL_LINTS, base))
        timed("rule cases", lambda: run_cases(RuleClosures(evaluator)))
        for number, how in enumerate(BREAKS):
            broken = Path(scratch) / str(number)
            break_all(folder, broken, how)
            print(timed(f"told: {how}", lambda folder=broken: problems_of(folder)), "problems")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 167)
