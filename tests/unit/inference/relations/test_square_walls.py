"""Walls that stand square to each other under one trussed roof."""

from __future__ import annotations

import pytest

from walltriage.case.read import parse_case

HOUSE = """\
schema: walltriage/case/1
name: Fern
plan:
  tolerance: 3 in
  levels: [ground]
  parts:
    - {id: main, width: 40 ft, depth: 28 ft}
  walls:
    - {wall: w1, level: ground, along: left, off: 16 ft, from: 0 ft, to: 14 ft}
    - {wall: w2, level: ground, along: front, off: 14 ft, from: 16 ft, to: 40 ft}
walls:
  - {id: w1, answers: {above_wall: only_attic, truss_run: FIRST}}
  - {id: w2, answers: {above_wall: only_attic, truss_run: SECOND}}
"""


@pytest.mark.parametrize(
    ("first", "second", "clash"),
    [("along", "along", True), ("across", "across", True), ("along", "across", False)],
)
def test_trusses_run_one_way_over_one_part(full, first, second, clash):
    """Both answers are told, and neither wall gets a clear verdict, until one is mended."""
    text = HOUSE.replace("FIRST", first).replace("SECOND", second)
    finding = full.finding(parse_case(text, "fern.yaml", full.base.questions))
    for wall in finding.walls:
        told = {c.rule: str(c.answers) for c in wall.contradictions}
        assert ("walls_against_each_other" in told) == clash
        if clash:
            assert f"truss_run is {first}" in told["walls_against_each_other"]
