"""What the years did: sags, humps, gaps, sticking doors, from spans and supports."""

from __future__ import annotations

import itertools
from typing import Any

import numpy as np

from walltriage.lab.house.framing import clear_of
from walltriage.lab.house.model import Field, House, Wall
from walltriage.lab.house.truth import bears, fields_over, rests_on, truth
from walltriage.lab.parameters import era_of, parameters


def wear(house: House, rng: np.random.Generator) -> None:
    """Write what shows of movement into every wall's details, in place."""
    values = parameters()["wear"]
    creep = values["sag_by_era"][era_of(house.year)]
    scale = float(rng.uniform(*values["sag_in_at_capacity"])) * creep
    for wall in house.walls:
        _wall(house, wall, rng, values, scale)
    trouble = rng.random() < values["clear_trouble"]
    house.facts["recent_change"] = "clear_change" if trouble else (
        "small_change" if rng.random() < 0.08 else "no_change"
    )  # fmt: skip
    old = house.year < 1960
    house.facts["ridge_look"] = (
        "clear_sag" if trouble or rng.random() < 0.01
        else "slight_dip" if rng.random() < (0.25 if old else 0.06) else "straight"
    )  # fmt: skip


def sag_in(field: Field, at: float, scale: float) -> float:
    """Sag beside a line, inches: grows with the third power of span over what is allowed."""
    worst = 0.0
    for piece in field.pieces:
        marks = sorted({piece.start, piece.stop} | {rest.at for rest in piece.rests})
        for low, high in itertools.pairwise(marks):
            if low - 0.3 <= at <= high + 0.3:
                worst = max(worst, scale * ((high - low) / field.allow_ft) ** 3)
    return worst


def _wall(
    house: House, wall: Wall, rng: np.random.Generator, values: dict[str, Any], scale: float
) -> None:
    paths = truth(house, wall)
    holds = bears(paths)
    seen = values["sag_seen_at_in"]
    fields = [f for f in fields_over(house, wall) if f.run != wall.line.axis]
    above = max((sag_in(f, wall.line.at, scale) for f in fields), default=0.0)
    above += float(rng.normal(0, 0.12))
    kinds = {rests_on(f, wall) for f in fields}
    supports = bool(kinds & {"ends", "needed", "bearing"})
    wall.detail["ceiling"] = "level"
    if above > seen and kinds:
        wall.detail["ceiling"] = "high_at_wall" if supports else "sags_at_wall"
    wall.detail["floor_above"] = {"high_at_wall": "hump", "sags_at_wall": "dips"}.get(
        wall.detail["ceiling"], "level"
    )
    wall.detail["stiffer"] = "stiffer_at_line" if supports else "same_everywhere"
    if rng.random() < 0.2:
        wall.detail["stiffer"] = "same_everywhere"
    wall.detail["floor"] = _floor(house, wall, rng, scale, seen, holds)
    arching = any(f.material == "roof_trusses" and f.gap for f in fields_over(house, wall))
    wall.detail["gap"] = "no_gap"
    if arching and rng.random() < values["winter_gap"]:
        wall.detail["gap"] = "opens_and_closes"
    elif rng.random() < values["steady_gap"]:
        wall.detail["gap"] = "steady_gap"
    share = values["door_sticks"]["settled" if wall.settled else "other"]
    wall.detail["doors"] = "some_stick" if rng.random() < share else "even_gaps"
    wall.detail["crack"] = str(rng.choice(
        ["none", "hairline", "slanted", "wide"],
        p=[0.4, 0.42, 0.16, 0.02] if house.year < 1970 else [0.6, 0.33, 0.06, 0.01],
    ))  # fmt: skip


def _floor(
    house: House, wall: Wall, rng: np.random.Generator, scale: float, seen: float, holds: bool
) -> str:
    """What the floor does at the wall: high over a support, low where it hangs on joists."""
    under = [f for f in house.fields if f.level == wall.level - 1]
    below = max((sag_in(f, wall.line.at, scale) for f in under if f.run != wall.line.axis),
                default=0.0)  # fmt: skip
    on_support = any(
        clear_of(piece, wall.line.at) == 0.0
        for f in under
        if f.run != wall.line.axis
        for piece in f.pieces
    )
    if below + rng.normal(0, 0.12) > seen:
        return "high_at_wall" if on_support else "low_at_wall"
    if holds and not on_support and under and rng.random() < 0.2:
        return "low_at_wall"
    return "no_change"
