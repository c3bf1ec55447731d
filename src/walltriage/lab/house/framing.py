"""Joists sized the way their time sized them, and laid out as pieces on their supports."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from walltriage.lab.house.model import Field, Material, Piece, Rest
from walltriage.lab.parameters import era_of, parameters

Held = tuple[float, str]  # position along the run, feet; "end", "through" or "hung"

_TABLES = {
    ("solid_boards", "rooms"): "floor_span_ft",
    ("solid_boards", "attic"): "ceiling_span_ft",
    ("solid_boards", "sloped"): "flat_roof_span_ft",
    ("solid_boards", "flat_roof"): "flat_roof_span_ft",
    ("i_joists", "rooms"): "i_joist_span_ft",
    ("floor_trusses", "rooms"): "floor_truss_span_ft",
}


@dataclass(frozen=True, slots=True)
class Joist:
    """A chosen joist: nominal size, spacing in inches, the span it can really do in feet."""

    size: str
    spacing_in: float
    allow_ft: float


def choose_joist(
    rng: np.random.Generator, material: Material, cover: str, year: int, span_ft: float
) -> Joist:
    """The smallest stocked joist a builder of that year would have put over ``span_ft``.

    Old builders overspanned: the span is first divided by what their time accepted.
    """
    framing = parameters()["framing"]
    if material == "roof_trusses":
        allow = max(framing["roof_truss_span_ft"]["roof"], span_ft + 2)
        return Joist("roof", 24.0, allow)
    table = framing[_TABLES[material, "rooms" if cover == "rooms" else cover]]
    era = era_of(year)
    spacing = 19.2 if material == "floor_trusses" else 16.0
    if material == "solid_boards" and rng.random() < (0.25 if cover == "attic" else 0.06):
        spacing = 24.0
    low, high = framing["overspan"][era] if material == "solid_boards" else (0.85, 1.0)
    accepted = rng.uniform(low, high)
    factor = (16.0 / spacing) ** 0.5 if material == "solid_boards" else 1.0
    spans = {size: span * factor for size, span in table.items()}
    size = next((s for s, span in spans.items() if span * accepted >= span_ft), list(spans)[-1])
    strength = framing["lumber_strength"] if material == "solid_boards" else (1.0, 1.08)
    return Joist(size, spacing, spans[size] * rng.uniform(*strength))


def pieces(start: float, stop: float, held: list[Held]) -> tuple[Piece, ...]:
    """Cut a run into pieces at every "end" and "hung" mark between start and stop.

    The outer ends rest on what stands there.  A "through" mark holds a piece that runs on.
    """
    marks: list[Held] = [(start, "end"), *sorted(held), (stop, "end")]
    breaks = [i for i, (_, how) in enumerate(marks) if how != "through"]
    cut = []
    for first, last in itertools.pairwise(breaks):
        rests = tuple(Rest(at, how) for at, how in marks[first : last + 1])  # type: ignore[arg-type]
        cut.append(Piece(marks[first][0], marks[last][0], rests))
    return tuple(cut)


def longest_span(start: float, stop: float, held: list[Held]) -> float:
    """The longest clear span of a run, feet."""
    marks = [start, *sorted(at for at, _ in held), stop]
    return max(b - a for a, b in itertools.pairwise(marks))


def clear_of(piece: Piece, at: float) -> float:
    """The span a piece would make around ``at`` on its fixed supports alone, feet.

    Fixed are its own ends and what a truss was built to bear on; a wall it merely
    passes over is not, for that wall or its neighbour may be the one in question.
    """
    fixed = sorted({piece.start, piece.stop} | {
        rest.at for rest in piece.rests if rest.how in ("end", "hung", "truss_bearing")
    })  # fmt: skip
    for low, high in itertools.pairwise(fixed):
        if low < at < high:
            return high - low
    return 0.0


def touches(field: Field, at: float) -> bool:
    """Whether some piece of the field passes over or ends at a position along its run."""
    return any(piece.start - 0.3 <= at <= piece.stop + 0.3 for piece in field.pieces)
