"""Counts over many interviews: truth by verdict, misses with their bounds, effort, calibration."""

from __future__ import annotations

from typing import Any

import numpy as np

from walltriage.inference.columns.evaluator import VERDICTS
from walltriage.inference.looks.column_planner import STOPS
from walltriage.lab.calibration import Calibration, calibrate
from walltriage.lab.exact import order_statistic, upper
from walltriage.lab.house.truth import PATHS
from walltriage.lab.outcomes import NAMES, Outcomes

CANNOT, BEARING, NON_BEARING = (
    VERDICTS.index(v) for v in ("cannot_tell", "likely_bearing", "likely_non_bearing")
)
MARKS = (0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2)


def share(part: int | float, whole: int | float) -> float | None:
    """A share, or None of nothing."""
    return part / whole if whole else None


def counts(outcomes: Outcomes) -> dict[str, Any]:
    """The figures of one set of interviews, as plain data; "cannot tell" is never dropped."""
    bears, verdict = outcomes.bears, outcomes.verdict
    n_bears, n_free = int(bears.sum()), int((~bears).sum())
    table = {
        truth: {name: int((mask & (verdict == index)).sum()) for index, name in enumerate(VERDICTS)}
        for truth, mask in (("bears", bears), ("does_not", ~bears))
    }
    miss, said = table["bears"]["likely_non_bearing"], int((verdict == NON_BEARING).sum())
    seen = outcomes.seen & ~bears
    decided = verdict != CANNOT
    braces = outcomes.paths[:, PATHS.index("bracing")]
    return {
        "walls": len(outcomes),
        "bearing": n_bears,
        "miss": miss,
        "miss_upper95": upper(miss, n_bears),
        "nonbearing_said": said,
        "wrong_among_nonbearing": share(miss, said),
        "wrong_among_nonbearing_upper95": upper(miss, said),
        "nonbearing_recognised": share(table["does_not"]["likely_non_bearing"], n_free),
        "nonbearing_recognised_when_seen": share(
            int((seen & (verdict == NON_BEARING)).sum()), int(seen.sum())
        ),
        "bearing_recognised": share(table["bears"]["likely_bearing"], n_bears),
        "false_bearing": share(table["does_not"]["likely_bearing"], n_free),
        "cannot_tell": share(int((~decided).sum()), len(outcomes)),
        "bracing_walls_called_nonbearing": int((braces & (verdict == NON_BEARING)).sum()),
        "median_questions": float(np.median(outcomes.questions)) if len(outcomes) else None,
        "p90_questions": float(np.quantile(outcomes.questions, 0.9)) if len(outcomes) else None,
        "questions_per_decided": share(int(outcomes.questions.sum()), int(decided.sum())),
        "effort_per_decided": share(float(outcomes.effort.sum()), int(decided.sum())),
        "truth_by_verdict": table,
        "missed_by_path": {
            path: int((outcomes.paths[:, i] & bears & (verdict == NON_BEARING)).sum())
            for i, path in enumerate(PATHS)
        },
        "stops": {name: int((outcomes.stop == i).sum()) for i, name in enumerate(STOPS) if name},
    }


def by_archetype(outcomes: Outcomes) -> dict[str, dict[str, Any]]:
    """The figures of each kind of house."""
    return {
        name: counts(outcomes.rows(outcomes.archetype == index))
        for index, name in enumerate(NAMES)
        if (outcomes.archetype == index).any()
    }


def chances(outcomes: Outcomes) -> Calibration:
    """Calibration of one chance for each wall, worked out from the bounds of its paths."""
    return calibrate(outcomes.chance, outcomes.bears)


def under_bound(outcomes: Outcomes) -> list[dict[str, Any]]:
    """For marks of the upper bound: walls under it and how many of them bore, gates left aside.

    The bound is meant to be one: the share that bore must not pass the mark.
    """
    rows = []
    for mark in MARKS:
        under = outcomes.upper <= mark
        walls, bore = int(under.sum()), int((under & outcomes.bears).sum())
        rows.append({"upper_at_most": mark, "walls": walls, "bore": bore,
                     "bore_upper95": upper(bore, walls)})  # fmt: skip
    return rows


def plain(found: Calibration) -> dict[str, Any]:
    """A calibration as plain data."""
    return {
        "slope": found.slope,
        "intercept": found.intercept,
        "brier": found.brier,
        "observed_over_expected": found.observed_over_expected,
        "curve": [
            {"from_db": b.low_db, "to_db": b.high_db, "walls": b.walls, "stated": b.stated,
             "bore": b.bore}
            for b in found.bins
        ],
    }  # fmt: skip


def threshold(outcomes: Outcomes, most_missed: float, by_cost: float) -> dict[str, Any]:
    """The cut for "non-bearing" by the order-statistic rule, and the lesser of it and the costs'.

    ``upper`` of every simulated bearing wall is a score; the k-th smallest bounds the share of
    bearing walls under it by ``most_missed`` with 95 % confidence, gates left aside.
    """
    scores = np.sort(outcomes.upper[outcomes.bears])
    k = order_statistic(len(scores), most_missed)
    cut = float(scores[k - 1]) if k else 0.0
    return {
        "bearing_walls": len(scores),
        "most_missed": most_missed,
        "k": k,
        "order_statistic": cut,
        "by_cost": by_cost,
        "non_bearing_at_most": min(cut, by_cost),
    }
