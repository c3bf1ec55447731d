"""Many mutants one after the other, their fates kept as they come in, and the table of them."""

from __future__ import annotations

import json
import multiprocessing
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.mutants.killer import SAME, STAGES, Killer
from tests.mutants.mutant import Mutant, sample
from walltriage.errors import InputError, Problem
from walltriage.knowledge.load import digest

FATES: tuple[str | None, ...] = (*STAGES, SAME, None)
CHUNK = 20  # mutants handed to a core at once


@dataclass(frozen=True, slots=True)
class MutationPlan:
    """Which mutants to run, with what; ``log`` keeps one line of JSON for each."""

    rules: Path
    scenarios: Path
    count: int
    seed: int
    log: Path
    cores: int = 1


@dataclass(frozen=True, slots=True)
class Fate:
    """What became of a mutant: the first check that noticed it, ``same``, or None: it lives."""

    mutant: Mutant
    stage: str | None


def run(plan: MutationPlan, resume: bool, step: Callable[[], object] = lambda: None) -> list[Fate]:
    """Run the mutants that the log does not tell of yet; ``step`` is called after each.

    Raises :class:`InputError` for a log of other rules, or one that cannot be written.
    """
    killer = Killer(plan.rules, plan.scenarios)
    chosen = sample(killer.files, plan.count, plan.seed)
    stamp = {"rules": digest(plan.rules), "scenarios": digest(plan.scenarios)}
    known = _open(plan.log, stamp, resume)
    left = [mutant for mutant in chosen if mutant.key not in known]
    for _ in range(len(chosen) - len(left)):
        step()
    with plan.log.open("a", encoding="utf-8") as log:
        for key, stage in _work_off(plan, killer, left):
            known[key] = stage
            log.write(json.dumps({"mutant": key, "stage": stage}) + "\n")
            log.flush()
            step()
    return [Fate(mutant, known[mutant.key]) for mutant in chosen]


def _open(log: Path, stamp: dict[str, str], resume: bool) -> dict[str, str | None]:
    """The fates that a log tells of; a new log when nothing is to be resumed."""
    try:
        if not resume or not log.exists():
            log.parent.mkdir(parents=True, exist_ok=True)
            log.write_text(json.dumps(stamp) + "\n", encoding="utf-8")
            return {}
        first, *lines = log.read_text(encoding="utf-8").splitlines() or ["{}"]
        told = json.loads(first)
        rows: list[dict[str, Any]] = [json.loads(line) for line in lines]
        known = {row["mutant"]: row["stage"] for row in rows}
    except (OSError, ValueError, KeyError, TypeError) as error:
        what = f"cannot be used: {error}"
        raise InputError(Problem(str(log), 0, 0, what, "expected a log of mutants")) from None
    if told != stamp:
        what = "tells of other rules or scenarios"
        raise InputError(Problem(str(log), 1, 1, what, "leave --resume out to start anew"))
    return known


def _work_off(
    plan: MutationPlan, killer: Killer, left: list[Mutant]
) -> Iterator[tuple[str, str | None]]:
    if plan.cores == 1 or not left:
        for mutant in left:
            yield mutant.key, killer.fate(mutant)
        return
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(plan.cores, context, _start, (plan,))
    try:
        yield from pool.map(_fate, [mutant.key for mutant in left], chunksize=CHUNK)
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


_HERE: dict[str, Any] = {}


def _start(plan: MutationPlan) -> None:
    killer = Killer(plan.rules, plan.scenarios)
    _HERE["killer"] = killer
    _HERE["by_key"] = {m.key: m for m in sample(killer.files, plan.count, plan.seed)}


def _fate(key: str) -> tuple[str, str | None]:
    return key, _HERE["killer"].fate(_HERE["by_key"][key])


def table(fates: Iterable[Fate]) -> str:
    """How many mutants of each operator met which end, and the shares killed."""
    fates = list(fates)
    names = list(dict.fromkeys(fate.mutant.operator for fate in fates))
    head = [stage or "alive" for stage in FATES]
    lines = ["| fault | mutants | " + " | ".join(head) + " |", "|---" * (len(head) + 2) + "|"]
    for name in [*names, None]:
        group = [fate for fate in fates if name in (None, fate.mutant.operator)]
        met = Counter(fate.stage for fate in group)
        cells = [str(met[stage] or "") for stage in FATES]
        lines.append(f"| {name or 'all'} | {len(group)} | " + " | ".join(cells) + " |")
    lines.append("")
    for safety, word in ((True, "safety class"), (False, "others"), (None, "all")):
        real = [f for f in fates if safety in (None, f.mutant.safety) and f.stage != SAME]
        if real:
            killed = sum(fate.stage is not None for fate in real)
            lines.append(f"{word}: {killed} of {len(real)} killed, {killed / len(real):.1%}")
    return "\n".join(lines)
