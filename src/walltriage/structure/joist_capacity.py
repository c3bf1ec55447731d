"""What joists of a size and time can span, over all lumber and loads that may be there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import product
from typing import Any

from walltriage.errors import refuse
from walltriage.language import say
from walltriage.structure.inputs import find_grade, find_size, find_species, graded, one_of
from walltriage.structure.lumber import Lumber, sawn
from walltriage.structure.shapes import USES
from walltriage.structure.spans import is_repetitive, joist_load, limits
from walltriage.structure.steps import Range
from walltriage.structure.tables import Size, Species, Tables


def era_of(tables: Tables, year: int | None) -> str:
    """The era's name for a year of building; ``unknown`` for ``None``."""
    if year is None:
        return "unknown"
    if isinstance(year, bool) or not isinstance(year, int) or not 1600 <= year <= 2200:
        raise refuse("year", f"{year!r} is not a year of building", "expected 1600 to 2200")
    eras: Mapping[str, Any] = tables.spans["eras"].values
    return next(name for name, era in eras.items() if year <= era["until"] and name != "unknown")


def sizes_of(tables: Tables, size: str | None, era: dict[str, Any], use: str) -> list[Size]:
    """What joists of a named size (None: those common for the use) may really measure: every
    dressing of the era.  Raises :class:`InputError` for an unknown size."""
    if size is not None:
        found = find_size(tables, size)
        if found.dressing != "dressed":
            return [found]  # the person said how it was dressed
        names = [found.name]
    else:
        names = list(era[use])
    nominal = {(tables.sizes[n].nominal_thickness, tables.sizes[n].nominal_depth) for n in names}
    alike = [
        piece
        for piece in tables.sizes.values()
        if (piece.nominal_thickness, piece.nominal_depth) in nominal
    ]
    return [piece for piece in alike if piece.dressing in era["dressings"]] or alike


def _pieces(
    tables: Tables, era: dict[str, Any], species: str | None, grade: str | None
) -> list[tuple[Species, str]]:
    keys = [find_species(tables, species).key] if species else era["species"]
    groups = [tables.species[key] for key in keys]
    if grade:
        return [
            (group, find_grade(tables, group, grade)) for group in graded(tables, groups, grade)
        ]
    wanted = tables.spans["unknown_lumber"]["joist_grades"]
    return [(group, name) for group in groups for name in wanted if name in group.grade_names]


def usual_loads(
    tables: Tables,
    use: str,
    live_psf: float | None,
    dead_psf: float | None,
    snow_psf: float | None = None,
) -> list[tuple[float, float]]:
    """Live and dead load in psf: lightest, usual, heaviest; of the span rules where not given.

    ``snow_psf``: the ground snow of the place, which stands for the heaviest live load on
    rafters where it is known.
    """
    usual = tables.spans["default_loads"][use]
    lives = [live_psf] * 3 if live_psf is not None else list(usual["live"])
    if live_psf is None and snow_psf is not None and use == "rafter":
        lives = [*lives[:2], max(lives[1], snow_psf)]
    deads = [dead_psf] * 3 if dead_psf is not None else usual["dead"]
    return list(zip(lives, deads, strict=True))


@dataclass(frozen=True, slots=True)
class Capacity:
    """Calculated spans in inches of lumber that is not fully known.

    ``usual_best`` is the longest with the usual grade under the usual load.
    """

    span: Range
    usual_best_in: float
    lowest: str
    highest: str


def capacity(
    tables: Tables,
    *,
    use: str,
    size: str | None = None,
    spacing_in: float | None = None,
    species: str | None = None,
    grade: str | None = None,
    era: str = "unknown",
    live_psf: float | None = None,
    dead_psf: float | None = None,
    snow_psf: float | None = None,
) -> Capacity:
    """Lowest, usual and highest calculated span, and what gives the two ends.

    What is not known runs over what is common in the era.  The usual value is the middle one
    of the usual grade under the usual loads.  ``snow_psf`` is the ground snow, for rafters.
    Raises :class:`InputError` for unknown names.
    """
    one_of("use", use, USES)
    when = tables.spans["eras"][one_of("era", era, tables.spans["eras"].values)]
    spacings = [spacing_in] if spacing_in is not None else list(when["spacings_in"])
    loads = usual_loads(tables, use, live_psf, dead_psf, snow_psf)
    usual_grade = tables.spans["unknown_lumber"]["usual_grade"]
    found: list[tuple[float, Lumber, float, float, float]] = []
    usual: list[float] = []
    pieces = list(product(sizes_of(tables, size, when, use), _pieces(tables, when, species, grade)))
    for spacing in spacings:
        stock = [
            sawn(
                tables, piece, group, name,
                repetitive=is_repetitive(tables, spacing, piece.thickness_in),
            )
            for piece, (group, name) in pieces
        ]  # fmt: skip
        for which, (live, dead) in enumerate(loads):
            load = joist_load(tables, use, spacing, live, dead)
            spans = [min(limits(lumber, load).values()) for lumber in stock]
            found += [
                (span, lumber, spacing, live, dead)
                for span, lumber in zip(spans, stock, strict=True)
            ]
            if which == 1:
                usual += [
                    span
                    for span, (_, (_, name)) in zip(spans, pieces, strict=True)
                    if grade or name == usual_grade
                ]
    low, high = min(one[0] for one in found), max(one[0] for one in found)
    lowest = min(_label(*one[1:]) for one in found if one[0] == low)
    highest = max(_label(*one[1:]) for one in found if one[0] == high)
    usual.sort()
    return Capacity(Range(low, usual[len(usual) // 2], high), usual[-1], lowest, highest)


def _label(lumber: Lumber, spacing: float, live: float, dead: float) -> str:
    return say(
        "{label} at {spacing:g} in, {live:g} psf live, {dead:g} psf dead",
        label=lumber.label,
        spacing=spacing,
        live=live,
        dead=dead,
    )
