"""Several runs of the study joined: those of one reporter, over any number of seeds."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from walltriage.errors import InputError, Problem
from walltriage.lab.reporter import REPORTERS

VERDICTS = ("likely_non_bearing", "cannot_tell", "likely_bearing")


@dataclass(frozen=True, slots=True)
class PooledBin:
    """One stretch of stated chances: walls, the mean that was stated, and how many bore."""

    walls: int
    stated: float
    bore: int


@dataclass(frozen=True, slots=True)
class Run:
    """All runs of one reporter.

    ``verdicts`` counts by truth ("bears", "does_not") and verdict; ``kinds`` gives (misses,
    bearing walls) by kind of house; ``questions`` the questions a decided wall by order of
    asking, None where nothing was decided.
    """

    reporter: str
    seeds: tuple[int, ...]
    generator: str
    rules: str
    walls: int
    verdicts: Mapping[str, Mapping[str, int]]
    kinds: Mapping[str, tuple[int, int]]
    curve: tuple[PooledBin, ...]
    questions: Mapping[str, float | None]

    @property
    def source(self) -> str:
        """Where the figures come from, in one line."""
        seeds = ", ".join(str(seed) for seed in self.seeds)
        return (
            f"{self.reporter}: {self.walls:,} walls, seed{'s' * (len(self.seeds) > 1)} {seeds}, "
            f"generator {self.generator}, rules {self.rules[:12]}"
        )


def pooled(found: Sequence[Mapping[str, Any]]) -> list[Run]:
    """One run for each reporter, the most careful first.

    Raises :class:`InputError` when runs of one reporter differ in rules or houses, for such
    figures must not be added up, or when one seed comes twice.
    """
    by_reporter: dict[str, list[Mapping[str, Any]]] = {}
    for run in found:
        by_reporter.setdefault(run["reporter"], []).append(run)
    return [_join(name, by_reporter[name]) for name in REPORTERS if name in by_reporter]


def _join(reporter: str, runs: Sequence[Mapping[str, Any]]) -> Run:
    stamps = {(run["generator"], run["rules"]["sha256"]) for run in runs}
    seeds = tuple(sorted(run["seed"] for run in runs))
    if len(stamps) > 1 or len(set(seeds)) < len(seeds):
        what = f"runs of the '{reporter}' reporter are of different rules or houses, or repeat"
        raise InputError(Problem("study", 0, 0, what, "expected the same rules, other seeds"))
    ((generator, rules),) = stamps
    kinds: Counter[str] = Counter()
    missed: Counter[str] = Counter()
    for run in runs:
        for name, row in run["archetypes"].items():
            kinds[name] += row["bearing"]
            missed[name] += row["miss"]
    return Run(
        reporter, seeds, generator, rules, sum(run["walls"] for run in runs), _verdicts(runs),
        {name: (missed[name], bearing) for name, bearing in sorted(kinds.items())},
        _curve(runs), _questions(runs),
    )  # fmt: skip


def _verdicts(runs: Iterable[Mapping[str, Any]]) -> dict[str, dict[str, int]]:
    tables = [run["truth_by_verdict"] for run in runs]
    return {
        truth: {name: sum(table[truth][name] for table in tables) for name in VERDICTS}
        for truth in ("bears", "does_not")
    }


def _curve(runs: Iterable[Mapping[str, Any]]) -> tuple[PooledBin, ...]:
    stretches: dict[float, list[Mapping[str, Any]]] = {}
    for run in runs:
        for stretch in run["calibration"]["curve"]:
            stretches.setdefault(stretch["from_db"], []).append(stretch)
    bins = []
    for _, parts in sorted(stretches.items()):
        walls = sum(part["walls"] for part in parts)
        stated = sum(part["stated"] * part["walls"] for part in parts) / walls
        bins.append(PooledBin(walls, stated, sum(round(p["bore"] * p["walls"]) for p in parts)))
    return tuple(bins)


def _questions(runs: Sequence[Mapping[str, Any]]) -> dict[str, float | None]:
    found = {}
    for order in runs[0]["orders"]:
        rows = [run["orders"][order] for run in runs]
        decided = [round(row["walls"] * (1 - row["cannot_tell"])) for row in rows]
        asked = [
            (row["questions_per_decided"] or 0.0) * count
            for row, count in zip(rows, decided, strict=True)
        ]
        found[order] = sum(asked) / sum(decided) if sum(decided) else None
    return found
