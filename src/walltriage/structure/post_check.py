"""A girder's posts and their pads, where somebody measured them, under a grown load.

What nobody measured is not guessed: it stays unchecked and is told so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from walltriage.structure.columns import COMMON, measured_post_lb
from walltriage.structure.frame_parts import Support
from walltriage.structure.tables import Tables


@dataclass(frozen=True, slots=True)
class GirderReaction:
    """What a girder brings down at one place, so far from its left or front end."""

    from_start_in: float
    load_lb: float


@dataclass(frozen=True, slots=True)
class PostCheck:
    """One post under a load in pounds: demand over limit, None for what was not measured.

    ``from_start_in`` counts from the girder's left or front end.  ``column`` is the post itself
    over ``height_in``, ``crushing`` the girder across its grain on top of it, ``pad`` the ground
    under its square pad of ``footing_in``.
    """

    from_start_in: float
    before_lb: float
    load_lb: float
    size: str
    height_in: float
    footing_in: float | None
    column: float | None
    crushing: float | None
    pad: float | None

    @property
    def works(self) -> bool:
        """Whether everything that was measured of it passes."""
        return all(ratio is None or ratio <= 1 for ratio in (self.column, self.crushing, self.pad))

    @property
    def unchecked(self) -> tuple[str, ...]:
        """What of it nobody could check."""
        missing = (("post", self.column), ("footing", self.pad))
        return tuple(what for what, ratio in missing if ratio is None)


def check_posts(
    tables: Tables,
    girder: Support,
    before: Iterable[GirderReaction],
    after: Iterable[GirderReaction],
) -> tuple[PostCheck, ...]:
    """Every drawn post of a girder, under what it brings down ``before`` and ``after``."""
    was, grown = (
        {round(rest.from_start_in, 3): rest.load_lb for rest in rests} for rests in (before, after)
    )
    return tuple(_checked(tables, girder, was, grown))


def _checked(
    tables: Tables, girder: Support, before: Mapping[float, float], after: Mapping[float, float]
) -> Iterator[PostCheck]:
    soil = tables.loads["soil"]["untested"]
    usual = tables.choices["jack_studs"]["wall_height_in"]
    for prop in sorted(girder.props, key=lambda prop: prop.at):
        place = round(prop.at - girder.lo, 3)
        if place not in after:
            continue
        load, height = after[place], prop.height_in or usual
        column = crushing = pad = None
        if prop.size:
            capacity = measured_post_lb(tables, prop.size, height)
            column = load / capacity if capacity else float("inf")
            crushing = load / (_softest(tables) * _seat_in2(tables, prop.size, girder.size))
        if prop.footing_in is not None:
            pad = load / (soil * (prop.footing_in / 12) ** 2)
        yield PostCheck(place, before.get(place, 0.0), load, prop.size, height,
                        prop.footing_in, column, crushing, pad)  # fmt: skip


def _softest(tables: Tables) -> float:
    """Fc across the grain of the softest common species, No.2, in psi."""
    return min(
        next(iter(tables.species[name].grades.values()))["No.2"].fc_perp_psi for name in COMMON
    )


def _seat_in2(tables: Tables, post: str, girder: str) -> float:
    """Where girder and post touch; the post's whole top where nobody measured the girder."""
    plies, _, piece = post.rpartition("-")
    if piece in tables.sizes:
        size = tables.sizes[piece]
        thin, thick = size.thickness_in * int(plies or 1), size.depth_in
    else:
        thin, thick = (float(side) - 0.5 for side in piece.split("x"))
    if not girder:
        return thin * thick
    count, _, board = girder.partition("-")
    wide = tables.sizes[board].thickness_in * int(count)
    # a post stands with its better side across the girder
    return max(min(thin, wide) * thick, thin * min(thick, wide))
