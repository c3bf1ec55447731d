"""What a result is worth beside the truth: missed, recognised, bracing, calibration, leaning.

Works on any results of known walls, however the answers came about; framing seen is defined
once, at :class:`walltriage.lab.answers.Truth`.
"""

from __future__ import annotations

import itertools
from typing import Any

import numpy as np

from walltriage.inference.columns.codes import Bools, Floats
from walltriage.inference.columns.evaluator import VERDICTS, BatchResult
from walltriage.lab.answers import Truth
from walltriage.lab.calibration import log_odds, logistic, point_chance
from walltriage.lab.exact import upper
from walltriage.lab.house.truth import BEARING_PATHS, PATHS

BEARING, NON_BEARING = (VERDICTS.index(v) for v in ("likely_bearing", "likely_non_bearing"))
# Edges of the middle of the interval between which a leaning would be told.
STEPS = (0.0, 0.01, 0.03, 0.1, 0.3, 0.6, 0.8, 1.0)
WORTH_TELLING = 2000  # bearing walls of a kind of house, from which its own row means something


def middle(result: BatchResult) -> Floats:
    """The middle of each wall's chances (n,), on the log-odds scale, paths as independent."""
    bearing = [result.path_ids.index(path) for path in BEARING_PATHS if path in result.path_ids]
    return point_chance(result.path_low[:, bearing], result.path_high[:, bearing])


def measure(result: BatchResult, truth: Truth) -> dict[str, Any]:
    """Every figure as plain data; shares are None where there is nothing to share."""
    said_bearing, said_free = (np.asarray(result.verdict == v) for v in (BEARING, NON_BEARING))
    bears, chance = truth.bears, middle(result)
    slope, intercept = logistic(log_odds(chance), bears)
    return {
        "walls": len(truth),
        "missed": missed(said_free, bears),
        "missed_hall_twins": missed(said_free, bears & truth.twin),
        "missed_by_path": {
            path: missed(said_free, truth.paths[:, PATHS.index(path)]) for path in BEARING_PATHS
        },
        "missed_by_kind": {
            str(kind): missed(said_free, bears & (truth.kind == kind))
            for kind in np.unique(truth.kind)
        },
        "nonbearing_recognised": share(said_free, ~bears),
        "framing_seen": share(truth.seen, ~bears),
        "nonbearing_recognised_where_seen": share(said_free, ~bears & truth.seen),
        "bearing_recognised": share(said_bearing, bears),
        "bearing_precision": share(bears, said_bearing),
        "nonbearing_called_bearing": share(said_bearing, ~bears),
        "wrong_among_nonbearing": share(bears, said_free),
        "bracing_only_called_nonbearing": counted(said_free, truth.braces_only),
        "slope": slope,
        "intercept": intercept,
        "leaning": leaning(chance, bears, ~(said_bearing | said_free)),
    }


def share(part: Bools, whole: Bools) -> float | None:
    """How many of ``whole`` are in ``part``, as a share."""
    of = int(whole.sum())
    return int((part & whole).sum()) / of if of else None


def counted(part: Bools, whole: Bools) -> dict[str, int]:
    """How many of ``whole`` are in ``part``, as counts."""
    return {"count": int((part & whole).sum()), "of": int(whole.sum())}


def missed(said_free: Bools, bears: Bools) -> dict[str, float | int]:
    """Bearing walls called non-bearing, with the one-sided 95 % bound of their share."""
    found: dict[str, float | int] = {**counted(said_free, bears)}
    found["bound95"] = upper(int(found["count"]), int(found["of"]))
    return found


def leaning(chance: Floats, bears: Bools, open_walls: Bools) -> list[dict[str, float | int | None]]:
    """Walls left open, by steps of the middle: how many, the mean middle, the share that bore."""
    rows: list[dict[str, float | int | None]] = []
    for low, high in itertools.pairwise(STEPS):
        here = open_walls & (chance >= low) & ((chance < high) | (high == 1.0))
        stated = float(chance[here].mean()) if here.any() else None
        rows.append({"from": low, "to": high, "walls": int(here.sum()), "stated": stated,
                     "bore": share(bears, here)})  # fmt: skip
    return rows
