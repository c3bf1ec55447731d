"""Beams that run across over a wall and end on neither of its faces."""

from __future__ import annotations

from walltriage.lab.findings.scene import Scene
from walltriage.lab.house.model import ON_LINE_FT, BeamKind


def beam_crosses(s: Scene, *kinds: BeamKind) -> bool:
    """Whether a beam of these kinds runs over the wall from one side to the other."""
    line = s.line
    return any(
        b.line.axis != line.axis and line.start <= b.line.at <= line.stop
        and b.line.start + ON_LINE_FT < line.at < b.line.stop - ON_LINE_FT
        for b in s.beams(*kinds)
    )  # fmt: skip
