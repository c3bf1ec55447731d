"""Every result turns into plain JSON, for reports and for the ``numbers`` of a finding."""

import json
from dataclasses import asdict

from walltriage.structure.house_lines import LevelLines, solve_house
from walltriage.structure.load_path import load_path_to_ground
from walltriage.structure.loads import LoadSet
from walltriage.structure.members import choose_members, end_supports
from walltriage.structure.sources_of_load import floor, wall_above
from walltriage.structure.span_need import span_need
from walltriage.structure.spans import span_range
from walltriage.structure.tables import Tables
from walltriage.structure.takedown import take_down


def test_every_result_is_plain_data(tables: Tables) -> None:
    choice = choose_members(tables, 96, LoadSet(dead=100, live=200))
    results = (
        span_range(tables, use="floor", size="2x8", spacing_in=16, live_psf=40, dead_psf=10),
        span_need(tables, span_without_in=(200, 220), span_with_in=110, era="from_1946"),
        solve_house([LevelLines(336, {"a": 150}, 190, {})], 12),
        take_down(tables, (floor(tables, "floor", (120, (100, 130))),),
                  (wall_above(tables, "wall above", 96),)),
        choice,
        *end_supports(tables, choice[0]),
        load_path_to_ground({"left": 100.0}, {}, levels_below=1),
    )  # fmt: skip
    for result in results:
        data = asdict(result)
        assert json.loads(json.dumps(data)).keys() == data.keys()
