"""Loads of a whole house followed from the roof to the ground, by levers alone.

Every joist is a simple span between the two lines it rests on, or runs through over all of
them; then its own spread load goes to them as the reactions of the continuous beam.  What stands
on it at a spot goes to the two lines beside by the lever rule; a line hands what it collects to
whatever is straight below: to a line of support there, or to the joists between two of them.  A
beam hands its load to its posts and ends.  So forces and moments balance at every step, and what
reaches the ground is what was put on.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise

from walltriage.language import say
from walltriage.structure import beams
from walltriage.structure.frame_laid import CLOSE, Laid, beside
from walltriage.structure.frame_parts import Arrived, Followed, JoistField, LoadPiece, Support
from walltriage.structure.loads import LoadSet

_PER_INCH = 12.0  # plf: a pound on each inch, so that pounds of reaction are inches of width


@lru_cache(maxsize=4096)
def widths_on(spans_in: tuple[float, ...]) -> tuple[float, ...]:
    """Inches of an evenly loaded joist that each of its supports carries."""
    if len(spans_in) == 1:
        return spans_in[0] / 2, spans_in[0] / 2
    whole = sum(spans_in)
    return beams.solve(spans_in, (beams.Uniform(_PER_INCH, 0.0, whole),)).reactions_lb


__all__ = ["Arrived", "Followed", "Frame", "JoistField", "LoadPiece", "Support"]


class Frame(Laid):
    """A house as lines and fields whose loads can be followed to the ground."""

    def follow(self) -> Followed:
        """Take every load down to the ground, level by level from the top."""
        found = Followed({s.id: [] for s in self.supports})
        for level in reversed(range(self.levels)):
            for area in self.fields:
                if area.level == level:
                    self._spread(area, found)
            here = [s for s in self.supports if s.level == level]
            for line in here:
                if line.plf != LoadSet():
                    found.lines[line.id].append(LoadPiece(line.lo, line.hi, line.plf))
            for beam in (s for s in here if s.beam):
                self._beam_down(beam, found)
            for line in (s for s in here if not s.beam):
                for piece in found.lines[line.id]:
                    self._down(line, piece, level, found)
        return found

    def _spread(self, area: JoistField, found: Followed) -> None:
        """The area's own load, half of each span to each of its two lines."""
        for lo, hi, held in self.strips(area):
            first, last = area.along()
            if len(held) < 2 or held[0].at - first > CLOSE or last - held[-1].at > CLOSE:
                found.findings.append(
                    say("{id}: joists without a line to rest on at one end", id=area.id)
                )
                self._to_ground_spread(area, lo, hi, found)
                continue
            spans = [other.at - one.at for one, other in pairwise(held)]
            found.spans_in[area.id] = max(found.spans_in.get(area.id, 0.0), *spans)
            for run in self._runs(held):
                widths = widths_on(tuple(other.at - one.at for one, other in pairwise(run)))
                for line, width in zip(run, widths, strict=True):
                    found.lines[line.id].append(LoadPiece(lo, hi, area.psf.times(width / 12)))

    def _runs(self, held: list[Support]) -> Iterator[list[Support]]:
        """Lines under one unbroken joist: two by two, or all up to where joists break."""
        run = [held[0]]
        for line in held[1:]:
            run.append(line)
            if not self.through or line.id in self.breaks:
                yield run
                run = [line]
        if len(run) > 1:
            yield run

    def _to_ground_spread(self, area: JoistField, lo: float, hi: float, found: Followed) -> None:
        first, last = area.along()
        load = area.psf.times((hi - lo) * (last - first) / 144)
        middle, across = (first + last) / 2, (lo + hi) / 2
        x, y = (middle, across) if area.run == "x" else (across, middle)
        found.ground.append(Arrived(x, y, load, area.id))

    def _beam_down(self, beam: Support, found: Followed) -> None:
        """A beam's load to its posts and ends, one simple span after the other."""
        rests = sorted({beam.lo, *(p for p in beam.posts if beam.lo < p < beam.hi), beam.hi})
        reactions = dict.fromkeys(rests, LoadSet())
        for piece in found.lines[beam.id]:
            for one, other in pairwise(rests):
                lo, hi = max(piece.lo, one), min(piece.hi, other)
                if piece.lo == piece.hi:
                    inside = one <= piece.lo < other or (piece.lo == other == rests[-1])
                    pounds, centre = piece.load, piece.lo
                else:
                    inside = hi > lo
                    pounds, centre = piece.load.times((hi - lo) / 12), (lo + hi) / 2
                if inside:
                    share = (centre - one) / (other - one)
                    reactions[one] += pounds.times(1 - share)
                    reactions[other] += pounds.times(share)
        for place, load in reactions.items():
            if load == LoadSet():
                continue
            x, y = (place, beam.at) if beam.axis == "x" else (beam.at, place)
            under = None if place in beam.posts else self._wall_at(x, y, beam)
            if under is not None:
                spot = x if under.axis == "x" else y
                found.lines[under.id].append(LoadPiece(spot, spot, load))
            else:
                if place not in beam.posts:
                    found.findings.append(
                        say("{id}: nothing is drawn under one of its ends", id=beam.id)
                    )
                level = 0 if beam.grounded else beam.level
                self._spot_down(x, y, load, level, beam.id, found)

    def _wall_at(self, x: float, y: float, beam: Support) -> Support | None:
        """The wall of the same level on which a beam's end stands."""
        near = []
        for line in self.supports:
            if line.level != beam.level or line.beam or not line.carries:
                continue
            along, across = (x, y) if line.axis == "x" else (y, x)
            off = abs(across - line.at)
            past = max(line.lo - along, along - line.hi, 0.0)
            if past <= CLOSE and off <= CLOSE:
                near.append((line.axis == beam.axis, line.id, line))
        return min(near)[2] if near else None

    def _down(self, line: Support, piece: LoadPiece, level: int, found: Followed) -> None:
        """One piece of a wall's load to the level below."""
        if level == 0 or line.grounded:
            middle = (piece.lo + piece.hi) / 2
            x, y = (middle, line.at) if line.axis == "x" else (line.at, middle)
            found.ground.append(Arrived(x, y, piece.pounds, line.id))
            return
        if piece.lo == piece.hi:
            x, y = (piece.lo, line.at) if line.axis == "x" else (line.at, piece.lo)
            self._spot_down(x, y, piece.load, level, line.id, found)
            return
        middle = (piece.lo + piece.hi) / 2
        under = self.level_under(
            level, *((middle, line.at) if line.axis == "x" else (line.at, middle))
        )
        for lo, hi, below in self._straight_below(line, piece, under):
            part = LoadPiece(lo, hi, piece.load)
            if below is not None:
                found.lines[below.id].append(part)
            else:
                self._on_joists(line, part, under, found)

    def _straight_below(
        self, line: Support, piece: LoadPiece, level: int
    ) -> Iterator[tuple[float, float, Support | None]]:
        """The piece cut where a line right below begins or ends."""
        under = [
            s
            for s in self.supports
            if s.level == level and s.carries and s.axis == line.axis
            and abs(s.at - line.at) <= CLOSE and s.hi > piece.lo and s.lo < piece.hi
        ]  # fmt: skip
        cuts = {piece.lo, piece.hi}
        cuts |= {min(max(end, piece.lo), piece.hi) for s in under for end in (s.lo, s.hi)}
        ordered = sorted(cuts)
        for lo, hi in pairwise(ordered):
            middle = (lo + hi) / 2
            held = [s for s in under if s.lo <= middle <= s.hi]
            yield lo, hi, min(held, key=lambda s: (s.beam, s.id), default=None)

    def _on_joists(self, line: Support, piece: LoadPiece, level: int, found: Followed) -> None:
        """A wall that stands on the joists over ``level``."""
        left = [(piece.lo, piece.hi)]
        for area in (f for f in self.fields if f.level == level):
            rest = []
            for lo, hi in left:
                inside = self._inside(line, lo, hi, area)
                if inside is None:
                    rest.append((lo, hi))
                    continue
                rest += [(a, b) for a, b in ((lo, inside[0]), (inside[1], hi)) if b - a > CLOSE]
                if area.run == line.axis:
                    self._along_joists(line, LoadPiece(*inside, piece.load), area, found)
                else:
                    self._across_joists(line, LoadPiece(*inside, piece.load), area, found)
            left = rest
        for lo, hi in left:
            found.findings.append(
                say("{id}: part of it stands over no floor that is drawn", id=line.id)
            )
            middle = (lo + hi) / 2
            x, y = (middle, line.at) if line.axis == "x" else (line.at, middle)
            found.ground.append(Arrived(x, y, piece.load.times((hi - lo) / 12), line.id))

    def _inside(
        self, line: Support, lo: float, hi: float, area: JoistField
    ) -> tuple[float, float] | None:
        along = (area.x0, area.x1) if line.axis == "x" else (area.y0, area.y1)
        across = (area.y0, area.y1) if line.axis == "x" else (area.x0, area.x1)
        if not across[0] - CLOSE <= line.at <= across[1] + CLOSE:
            return None
        lo, hi = max(lo, along[0]), min(hi, along[1])
        return (lo, hi) if hi - lo > CLOSE else None

    def _across_joists(
        self, line: Support, piece: LoadPiece, area: JoistField, found: Followed
    ) -> None:
        """Each joist takes a spot of it: the two lines beside share it evenly along."""
        for lo, hi, held in self.strips(area):
            lo, hi = max(lo, piece.lo), min(hi, piece.hi)
            if hi <= lo:
                continue
            pair = beside(held, line.at)
            if pair is None:
                self._lost(line, LoadPiece(lo, hi, piece.load), found)
                continue
            one, other, share = pair
            found.lines[one.id].append(LoadPiece(lo, hi, piece.load.times(1 - share)))
            found.lines[other.id].append(LoadPiece(lo, hi, piece.load.times(share)))

    def _along_joists(
        self, line: Support, piece: LoadPiece, area: JoistField, found: Followed
    ) -> None:
        """The joist under it brings it to the lines it rests on, at one spot each."""
        low, high = area.across()
        at = min(max(line.at, low), high)
        strips = [held for lo, hi, held in self.strips(area) if lo <= at <= hi]
        held = strips[0] if strips else []
        for one, other in pairwise(held):
            lo, hi = max(piece.lo, one.at), min(piece.hi, other.at)
            if hi <= lo:
                continue
            pounds = piece.load.times((hi - lo) / 12)
            share = ((lo + hi) / 2 - one.at) / (other.at - one.at)
            found.lines[one.id].append(LoadPiece(line.at, line.at, pounds.times(1 - share)))
            found.lines[other.id].append(LoadPiece(line.at, line.at, pounds.times(share)))
        first, last = (held[0].at, held[-1].at) if len(held) > 1 else (piece.hi, piece.hi)
        for lo, hi in ((piece.lo, min(first, piece.hi)), (max(last, piece.lo), piece.hi)):
            if hi > lo:
                self._lost(line, LoadPiece(lo, hi, piece.load), found)

    def _lost(self, line: Support, piece: LoadPiece, found: Followed) -> None:
        found.findings.append(
            say("{id}: it rests on joists that rest on nothing drawn", id=line.id)
        )
        middle = (piece.lo + piece.hi) / 2
        x, y = (middle, line.at) if line.axis == "x" else (line.at, middle)
        found.ground.append(Arrived(x, y, piece.pounds, line.id))

    def _spot_down(
        self, x: float, y: float, load: LoadSet, level: int, source: str, found: Followed
    ) -> None:
        """A load at one spot to a line right below it, or to the joists there."""
        if level == 0:
            found.ground.append(Arrived(x, y, load, source))
            return
        under = self.stands_on(level, x, y)
        if not under:
            found.findings.append(
                say("{source}: a load at one spot has nothing drawn under it", source=source)
            )
            found.ground.append(Arrived(x, y, load, source))
        elif len(under) == 1:
            (line,) = under
            spot = min(max(x if line.axis == "x" else y, line.lo), line.hi)
            found.lines[line.id].append(LoadPiece(spot, spot, load))
        else:
            one, other = under
            at, across = (y, x) if one.axis == "x" else (x, y)
            share = min(max((at - one.at) / (other.at - one.at), 0.0), 1.0)
            found.lines[one.id].append(LoadPiece(across, across, load.times(1 - share)))
            found.lines[other.id].append(LoadPiece(across, across, load.times(share)))
