"""One load for one wall: the wall's page, the house section and ``beam`` say the same."""

from __future__ import annotations

import json
import random
from dataclasses import replace

import pytest
from click.testing import CliRunner

from tests.conftest import HERE
from tests.unit.structure.test_house_frame import random_plan
from walltriage.case.geometry import Layout
from walltriage.case.model import Answer
from walltriage.case.plan_check import plan_problems
from walltriage.case.read import read_case
from walltriage.cli import main
from walltriage.inference.numbers.house import BEARS, house_numbers, house_work
from walltriage.inference.numbers.wall import WallWork, spots_in, wall_numbers
from walltriage.report.finding_json import finding_data
from walltriage.structure.members import choose_members
from walltriage.structure.settled import Site
from walltriage.structure.steps import Range
from walltriage.structure.tables import load_tables

DEMOS = sorted((HERE / "demo_houses").glob("plan_*.yaml"))
SNOW = Answer("from_20", 30.0, "30 psf")


EVERY = 12  # of the sized walls of random plans, one so many is asked of the command


def agrees_with_the_command(sizing, high, spots=()) -> None:
    """``beam``, given the load by kind and at spots, lists these beams, as hard at work."""
    points = [
        f"{value:.6f} lb {kind.replace('_', '-')} @ {spot.at_in:.6f} in"
        for spot in spots for kind, value in spot.lb.kinds() if value
    ]  # fmt: skip
    result = CliRunner().invoke(
        main,
        ["beam", "--opening", f"{sizing.opening_in} in", "--dead", f"{high.dead:.6f}", "--live",
         f"{high.live:.6f}", "--snow", f"{high.snow:.6f}", "--roof-live", f"{high.roof_live:.6f}",
         *(word for point in points for word in ("--point", point)), "--json"],
    )  # fmt: skip
    listed = {row["member"]: row["utilisation"] for row in json.loads(result.output)["members"]}
    for member in sizing.members:
        assert listed[member.member.label] == pytest.approx(member.utilisation, abs=1e-3)
    assert bool(sizing.members) == bool(listed)


def agreed(data) -> int:
    """Walls whose page and house section both tell a load; they have to be equal."""
    collects = {wall: row["load"] for row in data["house"]["collects"] for wall in row["walls"]}
    met = 0
    for wall in data["walls"]:
        load = (wall["numbers"] or {}).get("load")
        if load is None or not load["from_house"] or wall["id"] not in collects:
            continue
        assert load["governing_plf"] == collects[wall["id"]]["governing_plf"], wall["id"]
        met += 1
    return met


def sized_alike(full, finding) -> int:
    """Every listed beam is what the member search gives for that load, and passes under it."""
    tables, met = load_tables(full.base.folder), 0
    for wall in finding.walls:
        if wall.numbers is None or wall.numbers.sizing is None:
            continue
        sizing, load = wall.numbers.sizing, wall.numbers.load
        assert not wall.numbers.not_sized
        if load.spots:
            continue
        found = choose_members(tables, sizing.opening_in, load.high)
        assert all(member in found.results for member in sizing.members)
        met += 1
    return met


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_every_demo(full, path):
    case = read_case(path, full.base.questions)
    snowy = replace(case, house={**case.house, "ground_snow": SNOW})
    met = 0
    for one in (case, snowy):
        finding = full.finding(one)
        met += agreed(finding_data(finding))
        sized_alike(full, finding)
    if any(wall.verdict != "likely_non_bearing" for wall in finding.walls):
        assert met


@pytest.mark.parametrize("seeds", [range(60), pytest.param(range(60, 500), marks=pytest.mark.slow)])
def test_random_plans(full, seeds):
    """With verdicts by chance: the walls' own numbers against the house's lines."""
    bare = full.evaluator.evaluate({})
    opening = {"wall_length": Answer("from_9", 120.0, "10 ft")}
    site = Site(Range(96, 96, 108), Range(18, 26, 45), 30.0)
    met = sized = spotted = 0
    for seed in seeds:
        plan, dice = random_plan(seed), random.Random(seed)
        wrong = {where[:2] for where, _, _ in plan_problems(plan)}  # walls on each other
        kept = tuple(w for n, w in enumerate(plan.walls) if ("walls", n) not in wrong)
        verdicts = {w.wall: dice.choice(tuple(BEARS)) for w in kept}
        layout = Layout(replace(plan, walls=kept))
        work = house_work(full.base, layout, {}, verdicts, site, earthquakes=False)
        collects = {w: row.load for row in house_numbers(work).collects for w in row.walls}
        for wall in collects.keys() & verdicts.keys():
            result = replace(bare, verdict=verdicts[wall])
            numbers = wall_numbers(WallWork(full.base, wall, result, opening, work))
            if numbers is None:
                continue
            assert numbers.load == collects[wall]
            load = numbers.load.governing_plf
            assert 0 <= load.low <= load.usual <= load.high
            met += 1
            if numbers.sizing is not None:
                assert not numbers.not_sized
                assert not numbers.load.carries_only_itself
                sized += 1
                spots = spots_in(numbers.load.spots, 120.0, work.length_of(wall))
                if sized % EVERY == 0 or (spots and not spotted):
                    agrees_with_the_command(numbers.sizing, numbers.load.high, spots)
                    spotted += bool(spots)
    assert met > len(seeds)
    assert sized > len(seeds) / 5
    assert spotted


def test_the_command_says_the_same(full):
    """``beam``, given the wall's load by kind, lists the beams of the wall's page."""
    case = read_case(HERE / "demo_houses" / "plan_hall_pair_one_level.yaml", full.base.questions)
    case = replace(case, house={**case.house, "ground_snow": SNOW})
    wall = next(w for w in full.finding(case).walls if w.numbers and w.numbers.sizing)
    agrees_with_the_command(wall.numbers.sizing, wall.numbers.load.high)
