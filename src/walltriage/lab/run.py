"""A whole study: chunks of interviews on both cores, kept on disk as they come in."""

from __future__ import annotations

import hashlib
import json
import multiprocessing
import os
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

import numpy as np

from walltriage.case.write import write_case
from walltriage.errors import InputError, Problem
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.load import load_knowledge
from walltriage.knowledge.rule_cache import cache_folder
from walltriage.lab.findings import unmodelled
from walltriage.lab.interviews import ORDERS, Interviewer, Order
from walltriage.lab.outcomes import Outcomes, joined
from walltriage.lab.parameters import FILE as PARAMETERS
from walltriage.lab.reporter import REPORTERS
from walltriage.lab.tally import by_archetype, chances, counts, plain, under_bound
from walltriage.language import say

CHUNK = 2000
MOST_WALLS = 5_000_000
MOST_CORES = 64
COMPARED = 2000  # walls on which the other orders of asking are tried
HONEST = (
    "On {bearing} simulated bearing walls (generator {generator}, seed {seed}, reporter "
    "'{reporter}') the tool said 'likely non-bearing' {miss} times; 95 % upper bound "
    "{bound:.4%}. This bounds sampling error only. It does not cover errors of the simulator, of "
    "the clue tables, or of people unlike the simulated ones. No field rate is known."
)


@dataclass(frozen=True, slots=True)
class Study:
    """What to run; ``folder`` keeps finished chunks, so that a run can be taken up again."""

    rules: Path
    walls: int
    seed: int
    reporter: str
    folder: Path
    cores: int = 2

    def check(self) -> None:
        """Raise :class:`InputError` for sizes that make no sense."""
        problems = []
        if not 1 <= self.walls <= MOST_WALLS:
            expected = f"expected 1 to {MOST_WALLS}"
            problems.append(Problem("--walls", 0, 0, f"{self.walls} walls", expected))
        if self.seed < 0:
            problems.append(
                Problem("--seed", 0, 0, f"{self.seed} is negative", "expected 0 or more")
            )
        if self.reporter not in REPORTERS:
            expected = "expected one of " + ", ".join(REPORTERS)
            problems.append(Problem("--reporter", 0, 0, f"'{self.reporter}'", expected))
        if not 1 <= self.cores <= MOST_CORES:
            expected = f"expected 1 to {MOST_CORES}"
            problems.append(Problem("--cores", 0, 0, f"{self.cores} cores", expected))
        if problems:
            raise InputError(problems)

    def chunks(self) -> list[tuple[str, Order, range]]:
        """Every piece of work: its name, the order of asking, the walls."""
        work: list[tuple[str, Order, range]] = [
            (f"planner-{start:08d}", "planner", range(start, min(start + CHUNK, self.walls)))
            for start in range(0, self.walls, CHUNK)
        ]
        compared = range(min(COMPARED, self.walls))
        work += [(f"{order}-{0:08d}", order, compared) for order in ORDERS[1:]]
        return work


def generator_version() -> str:
    """A short hash over all that decides houses and people: parameters and code."""
    digest = hashlib.sha256(PARAMETERS.read_bytes())
    here = PARAMETERS.parent
    own = [here / name for name in ("mixes.py", "parameters.py", "reporter.py")]
    for path in sorted([*here.glob("house/**/*.py"), *here.glob("findings/*.py"), *own]):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:12]


def run(plan: Study, resume: bool, step: Callable[[], object] = lambda: None) -> dict[str, Any]:
    """Run what is not yet there, and tell the whole; ``step`` is called after each chunk.

    Raises :class:`InputError` for a plan that makes no sense, for a folder that cannot be
    written, and when ``resume`` finds the folder holding another study.
    """
    plan.check()
    base = load_knowledge(plan.rules, cache_folder())
    stamp = {
        "walls": plan.walls, "seed": plan.seed, "reporter": plan.reporter,
        "rules": base.sha256, "generator": generator_version(),
    }  # fmt: skip
    _open_folder(plan.folder, stamp, resume)
    work = plan.chunks()
    left = []
    for piece in work:
        if (plan.folder / f"{piece[0]}.npz").is_file():
            step()
        else:
            left.append(piece)
    for _ in _work_off(plan, left):
        step()
    parts = {name: _read(plan.folder / f"{name}.npz") for name, _, _ in work}
    return summary(base, stamp, work, parts)


def _open_folder(folder: Path, stamp: dict[str, Any], resume: bool) -> None:
    mark = folder / "study.json"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if mark.is_file() and resume:
            if json.loads(mark.read_text(encoding="utf-8")) != stamp:
                what = "holds a study of other walls, rules or houses"
                raise InputError(
                    Problem(str(folder), 0, 0, what, "leave --resume out to start anew")
                )
            return
        if not mark.is_file() and any(folder.iterdir()):
            what = "holds files that are no study"
            raise InputError(Problem(str(folder), 0, 0, what, "expected an empty folder"))
        for old in [*folder.glob("*.npz"), *folder.glob("miss-*.yaml")]:
            old.unlink()
        mark.write_text(json.dumps(stamp), encoding="utf-8")
    except (OSError, ValueError) as error:
        problem = Problem(str(folder), 0, 0, f"cannot be used: {error}", "expected a folder")
        raise InputError(problem) from None


def _work_off(plan: Study, left: list[tuple[str, Order, range]]) -> Iterator[str]:
    if not left:
        return
    cores = min(plan.cores, len(left), os.cpu_count() or 1)
    if cores == 1:
        _start(plan.rules)
        for piece in left:
            yield _hold(plan, piece)
        return
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(cores, context, _start, (plan.rules,))
    try:
        for done in as_completed([pool.submit(_hold, plan, piece) for piece in left]):
            yield done.result()
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


_INTERVIEWER: list[Interviewer] = []


def _start(rules: Path) -> None:
    _INTERVIEWER[:] = [Interviewer(load_knowledge(rules, cache_folder()))]


def _hold(plan: Study, piece: tuple[str, Order, range]) -> str:
    name, order, indices = piece
    outcomes, misses = _INTERVIEWER[0].hold(plan.seed, indices, plan.reporter, order)
    if order == "planner":
        for case in misses:
            write_case(plan.folder / f"miss-{case.name.split()[-1]}.yaml", case)
    part = plan.folder / f"{name}.part"
    with part.open("wb") as stream:
        np.savez_compressed(stream, **{f.name: getattr(outcomes, f.name) for f in fields(outcomes)})
    part.replace(plan.folder / f"{name}.npz")  # whole or not at all
    return name


def _read(path: Path) -> Outcomes:
    with np.load(path) as stored:
        return Outcomes(*(stored[f.name] for f in fields(Outcomes)))


def summary(
    base: KnowledgeBase,
    stamp: dict[str, Any],
    work: list[tuple[str, Order, range]],
    parts: dict[str, Outcomes],
) -> dict[str, Any]:
    """The study as plain data: overall figures at the top, then by kind of house."""
    by_order = {
        order: joined([parts[name] for name, o, _ in work if o == order]) for order in ORDERS
    }
    asked = by_order["planner"]
    whole = counts(asked)
    compared = asked.rows(asked.index < len(by_order["fixed"]))
    bound = whole["miss_upper95"]
    return {
        "schema": "walltriage/study/1",
        **whole,
        "seed": stamp["seed"],
        "reporter": stamp["reporter"],
        "rules": {"version": base.version, "sha256": base.sha256},
        "generator": stamp["generator"],
        "unmodelled": unmodelled(base.questions),
        "calibration": plain(chances(asked)),
        "under_bound": under_bound(asked),
        "orders": {
            order: {
                key: counts(found)[key]
                for key in ("walls", "miss", "cannot_tell", "median_questions",
                            "questions_per_decided", "effort_per_decided")
            }
            for order, found in {**by_order, "planner": compared}.items()
        },
        "archetypes": by_archetype(asked),
        "says": say(HONEST, **{**stamp, **whole, "bound": bound}),
    }  # fmt: skip
