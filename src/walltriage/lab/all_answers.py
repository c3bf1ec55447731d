"""A study without a planner: every answer given, judged, measured."""

from __future__ import annotations

from typing import Any

from walltriage.errors import InputError, Problem
from walltriage.inference.columns.codes import joined
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.knowledge.base import KnowledgeBase
from walltriage.lab.answers import Reach, Truth, answer_all
from walltriage.lab.measures import WORTH_TELLING, measure
from walltriage.lab.mixes import Mix
from walltriage.lab.run import CHUNK, MOST_WALLS, generator_version
from walltriage.language import say

_ROWS = (
    ("nonbearing_recognised", "non-bearing walls recognized"),
    ("nonbearing_recognised_where_seen", "  where the framing at their top was seen"),
    ("framing_seen", "  (share of them where it was seen)"),
    ("bearing_recognised", "bearing walls recognized"),
    ("bearing_precision", "  of those called bearing, bore"),
    ("nonbearing_called_bearing", "non-bearing walls called bearing"),
    ("wrong_among_nonbearing", "wrong among those called non-bearing"),
)


def study(
    base: KnowledgeBase, walls: int, seed: int, reporter: str, reach: Reach, mix: Mix,
    *, twice: bool = False,
) -> dict[str, Any]:  # fmt: skip
    """All answers of simulated people about ``walls`` walls, and what came of them.

    ``twice``: they look once more where :mod:`walltriage.lab.looked_again` says.
    Raises :class:`InputError` for a number of walls or a seed that makes no sense.
    """
    check_size(walls, seed)
    evaluator = ColumnEvaluator(base)
    parts = [
        answer_all(evaluator, seed, range(start, min(start + CHUNK, walls)), reporter, reach, mix,
                   twice=twice)
        for start in range(0, walls, CHUNK)
    ]  # fmt: skip
    batch, truth = joined([part[0] for part in parts]), Truth.joined([part[1] for part in parts])
    return {
        "schema": "walltriage/all-answers/1",
        "seed": seed, "reporter": reporter, "reach": reach, "mix": mix,
        "second_look": twice,
        "rules": {"version": base.version, "sha256": base.sha256},
        "generator": generator_version(),
        **measure(evaluator.evaluate(batch), truth),
    }  # fmt: skip


def check_size(walls: int, seed: int) -> None:
    """Raise :class:`InputError` for a number of walls or a seed that makes no sense."""
    if not 1 <= walls <= MOST_WALLS:
        what = f"{walls} walls"
        raise InputError(Problem("--walls", 0, 0, what, f"expected 1 to {MOST_WALLS}"))
    if seed < 0:
        raise InputError(Problem("--seed", 0, 0, f"{seed} is negative", "expected 0 or more"))


def lines(found: dict[str, Any]) -> list[str]:
    """The study in words, a line each."""
    rows = [_missed(say("missed of bearing walls"), found["missed"]),
            _missed(say("  of hall twins"), found["missed_hall_twins"])]  # fmt: skip
    rows += [
        _missed(say("  by {path}", path=path), row) for path, row in found["missed_by_path"].items()
    ]
    rows += [
        _missed(say("  in {kind}", kind=kind), row)
        for kind, row in found["missed_by_kind"].items()
        if row["count"] or row["of"] >= WORTH_TELLING
    ]
    rows += [f"{say(words)}: {_percent(found[key])}" for key, words in _ROWS]
    bracing = found["bracing_only_called_nonbearing"]
    rows.append(say("bracing-only walls called non-bearing: {count} of {of}", **bracing))
    slope = found["slope"]
    rows.append(say("slope of truth on the logit of the middle: {slope:.2f}", slope=slope))
    rows.append(say("walls left open, by the middle of their interval:"))
    rows += [
        say(
            "  {low:g} to {high:g}: {walls} walls, stated {stated}, bore {bore}",
            low=row["from"],
            high=row["to"],
            walls=row["walls"],
            stated=_percent(row["stated"]),
            bore=_percent(row["bore"]),
        )
        for row in found["leaning"]
    ]
    rows.append(say("Simulated houses and people; no field rate is known."))
    return rows


def _missed(words: str, row: dict[str, Any]) -> str:
    return say(
        "{words}: {count} of {of}, 95 % bound {bound:.3%}",
        words=words,
        count=row["count"],
        of=row["of"],
        bound=row["bound95"],
    )


def _percent(value: float | None) -> str:
    return say("none there") if value is None else f"{value:.1%}"
