"""Elimination: which line carries the joists, and walls that are free because another stands.

The argument of framers (common practice, no source): where the joists end on another line, that
line carries them, and where no other line could, this one does.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.conftest import read_yaml
from walltriage.case.model import Case
from walltriage.case.read import parse_case
from walltriage.inference.relations.house_answers import relied_on
from walltriage.report.cautions import lines_that_stay
from walltriage.report.files import make_request

ROOFS = Path(__file__).parents[3] / "rules" / "stick_roofs.yaml"
FREE = next(s for s in read_yaml(ROOFS) if s["name"].startswith("hip roof"))
ACROSS = {
    "attic_joist_run": "across", "joist_material": "solid_boards", "joist_size": "two_by_eight",
    "joist_spacing": "in_16", "joist_nailer": "none_seen",
}  # fmt: skip
DRAWN = {"house_width", "house_length", "place_in_depth", "wall_against_ridge", "ridge_direction",
         "wall_line"}  # fmt: skip
ONE, TWO = "joists_end_one_side", "joists_end_other_side"


def house(
    full: Any, depth: str, walls: Mapping[str, tuple[str, Mapping[str, str]]], beams: bool = False
) -> Case:
    """Walls that run along the front of a house of that depth, each so far from the front.

    But for what is said here of each, nothing was found on any of them; joists cross them.
    """
    told = {
        "schema": "walltriage/case/1",
        "name": "Elder Way",
        "house": {k: str(v) for k, v in FREE["house"].items() if k not in DRAWN},
        "walls": [
            {"id": name, "name": f"wall {name}",
             "answers": {k: str(v) for k, v in {**FREE["answers"], **ACROSS, **more}.items()
                         if k not in DRAWN}}
            for name, (_, more) in walls.items()
        ],
        "plan": {
            "tolerance": "3 in", "levels": ["basement", "ground"], "whole": ["basement", "ground"],
            "parts": [{"id": "main", "width": "56 ft", "depth": depth}],
            "walls": [
                {"wall": name, "level": "ground", "along": "front", "off": at, "from": "0 ft",
                 "to": "42 ft"}
                for name, (at, _) in walls.items()
            ]
            # beyond the ends of the others, so that none faces them: they brace the house
            + [{"name": f"far {n}", "level": "ground", "along": "front", "off": f"{3 * n} ft",
                "from": "43 ft", "to": "55 ft"} for n in (1, 2, 3)],
            "beams": [
                {"name": f"under {name}", "level": "basement", "along": "front", "off": at,
                 "from": "0 ft", "to": "56 ft"}
                for name, (at, _) in walls.items() if beams
            ],
        },
    }  # fmt: skip
    return parse_case(yaml.safe_dump(told, sort_keys=False), "c.yaml", full.base.questions)


def verdicts(full: Any, case: Case) -> dict[str, str]:
    return {wall.id: full.evaluate(case, wall.id).verdict for wall in case.walls}


def test_a_wall_that_holds_the_next_ones_joists_is_never_free(full):
    alone = house(full, "18 ft", {"w1": ("4 ft", {}), "w2": ("11 ft", {})})
    assert verdicts(full, alone) == {"w1": "likely_non_bearing", "w2": "likely_non_bearing"}
    held = house(full, "18 ft", {"w1": ("4 ft", {TWO: "on_next_wall"}), "w2": ("11 ft", {})})
    assert verdicts(full, held)["w1"] == "likely_non_bearing"
    assert verdicts(full, held)["w2"] != "likely_non_bearing"
    finding = full.finding(held)
    assert finding.walls[0].relies_on == ("wall w2",)
    assert finding.walls[1].relies_on == ()
    assert "next_wall_joists_end_here" in {
        e.rule for path in finding.walls[1].load_paths for e in path.evidence
    }


@pytest.mark.parametrize("turned", [False, True], ids=["from the front", "from the back"])
def test_joists_that_end_here_count_whatever_runs_past_from_the_other_side(full, turned):
    """Two neighbours disagree; the one whose joists were seen to end here needs this wall."""
    past, ends = (TWO, ONE) if not turned else (ONE, TWO)
    places = ("10 ft", "12 ft", "20 ft") if not turned else ("16 ft", "14 ft", "6 ft")
    case = house(full, "26 ft", {
        "w1": (places[0], {past: "past_it"}), "w2": (places[1], {}),
        "w3": (places[2], {ends: "on_next_wall"}),
    })  # fmt: skip
    assert full.answers(case, "w2")["joists_from_next_wall"].value == "end_here"
    assert verdicts(full, case)["w2"] != "likely_non_bearing"


def test_no_two_walls_are_freed_by_relying_on_each_other(full):
    """On houses with walls and supports at random; what holds a free wall's joists is not free.

    Walls nearer to each other than seven feet are easily mixed up, and none of them is free then.
    """
    rng, freed = random.Random(7), 0
    for _ in range(100):
        places = sorted(rng.sample((5, 12, 19, 26), rng.randint(2, 4)))
        walls = {
            f"w{n}": (f"{at} ft", {side: value for side in (ONE, TWO)
                                   if (value := rng.choice(["", "on_next_wall", "past_it"]))})
            for n, at in enumerate(places)
        }  # fmt: skip
        case = house(full, "33 ft", walls)
        reader, found = full.reader(case.plan), verdicts(full, case)
        for name, verdict in found.items():
            if verdict == "likely_non_bearing":
                held_by = relied_on(reader, case, name)
                freed += bool(held_by)
                assert "likely_non_bearing" not in {found[other] for other in held_by}
    assert freed > 5  # else the houses would try nothing


@pytest.mark.parametrize(
    ("depth", "walls", "expected"),
    [
        # ceiling joists of 1963 reach no 36 ft, however strong: the one line must bear
        ("36 ft", ["18 ft"], {"w1": "no_other_reaches"}),
        # and 12 ft from wall to wall any of them does
        ("12 ft", ["6 ft"], {"w1": "others_reach"}),
        # of a pair in mid-house either will do
        ("30 ft", ["14 ft", "17 ft"], {"w1": "others_may_reach", "w2": "others_may_reach"}),
    ],
)
def test_lines_of_support_by_hand(full, depth, walls, expected):
    """Spans by hand from IRC tables R802.5.1 (from memory), with room for old overspanning."""
    case = house(full, depth, {f"w{n}": (at, {}) for n, at in enumerate(walls, 1)}, beams=True)
    for wall, option in expected.items():
        assert full.answers(case, wall)["lines_of_support"].value == option


@pytest.mark.parametrize(
    "more",
    [{"joist_material": "i_joists"}, {"attic_joist_run": "along"}],
    ids=["of no table", "along the wall"],
)
def test_no_line_is_missed_where_spans_say_nothing(full, more):
    case = house(full, "36 ft", {"w1": ("18 ft", more)}, beams=True)
    assert "lines_of_support" not in full.answers(case, "w1")


def test_an_undrawn_wall_may_hold_them(full):
    text = house(full, "36 ft", {"w1": ("18 ft", {})}, beams=True)
    part = replace(text, plan=replace(text.plan, whole=()))
    assert "lines_of_support" not in full.answers(part, "w1")


def test_what_stays_is_named_on_the_page(full):
    """One wall or several, as they were followed; nothing where nobody followed any."""
    both = {ONE: "on_next_wall", TWO: "on_next_wall"}
    case = house(full, "15 ft", {"w1": ("4 ft", {}), "w2": ("8 ft", both), "w3": ("12 ft", {})})
    request = make_request(full, case, "2026-01-02", "trade")
    told = {s.wall.id: lines_that_stay(s) for s in request.subjects()}
    assert told["w1"] == told["w3"] == ""
    assert told["w2"].startswith("wall w1 and wall w3 hold the joists over wall w2")
    assert "have to stay" in told["w2"]
