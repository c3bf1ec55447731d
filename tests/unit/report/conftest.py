"""Reports of three invented houses, made with a small knowledge base of six load paths."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path

import pytest

from tests.conftest import HERE, RULES, shipped_rules
from walltriage import language
from walltriage.case.model import Case
from walltriage.case.read import read_case
from walltriage.inference.finding import Finding
from walltriage.inference.numbers.results import (
    LeftOut,
    Narrowing,
    Sizing,
    SpanNumbers,
    WallNumbers,
)
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge
from walltriage.report.files import make_request
from walltriage.report.subject import Request
from walltriage.structure.load_path import load_path_to_ground
from walltriage.structure.members import choose_members, end_supports
from walltriage.structure.shoring import shoring
from walltriage.structure.sources_of_load import ceiling, wall_above
from walltriage.structure.span_need import span_need
from walltriage.structure.tables import load_tables
from walltriage.structure.takedown import take_down
from walltriage.structure.wall_load import load_of_takedown

REPORT_RULES = HERE / "report_rules"
CASES = Path(__file__).resolve().parent / "cases"
MADE_ON = "2026-03-15"
MakeRequest = Callable[..., Request]


@language.forgets
@cache
def made_numbers() -> WallNumbers:
    """Numbers of a ceiling wall with joists of 12 and 13 ft, worked out as for a case."""
    tables = load_tables(RULES)
    need = span_need(tables, span_without_in=300, size="2x6", spacing_in=16, use="ceiling")
    own = wall_above(tables, "this wall itself", (96, 96, 108))
    strips = (ceiling(tables, "the ceiling and attic above", (144.0, 156.0), continuous=False),)
    down = take_down(tables, strips, (own,))
    load = load_of_takedown(tables, down, own.plf["dead"].high)
    chosen = choose_members(tables, 120, load.high)
    ends = end_supports(tables, chosen[0])
    below = load_path_to_ground({"left": ends[0].reaction_lb, "right": ends[1].reaction_lb}, {},
                     levels_below=1)  # fmt: skip
    sizing = Sizing(120, chosen.results[:3], None, chosen.sentence, ends, below, ())
    open_matter = Narrowing("roof_inside", "attic_frame", "What holds the roof up?", 250, 386)
    return WallNumbers(
        SpanNumbers(need, "2x6", 16, None), load, down, (LeftOut("point_load", blocks=False),),
        open_matter, sizing, shoring(tables, load.governing_plf, 144, 156), (), (),
    )  # fmt: skip


@dataclass(frozen=True)
class _Told:
    """A case, the same as another that holds the same in the same order, from whatever file."""

    text: tuple[str, str]
    case: Case = field(compare=False)


class Remembering(Triager):
    """Judges each case once: pages for four readers, in four formats, tell the same finding."""

    def finding(self, case: Case) -> Finding:
        """The finding, which is frozen, with this very case in it."""
        # written out, a case leaves its outcome out
        told = _Told((repr(case), repr(case.outcome)), case)
        return replace(_judged(self, told), given=case)

    def judge(self, case: Case) -> Finding:
        """The finding made anew."""
        return super().finding(case)


@language.forgets
@cache
def _judged(triager: Remembering, told: _Told) -> Finding:
    return triager.judge(told.case)


@pytest.fixture(scope="session")
def full() -> Triager:
    """The knowledge base that is shipped."""
    return Remembering(shipped_rules())


@pytest.fixture(scope="session")
def houses() -> Triager:
    """The knowledge base of the report tests."""
    return Remembering(load_knowledge(REPORT_RULES))


@pytest.fixture(scope="session")
def make(houses) -> MakeRequest:
    """A request for one of the cases, with numbers on its first wall if wanted."""

    def request(name="bungalow", audience="buyer", depth=1, numbers=False, change=None):
        case = read_case(CASES / f"{name}.yaml", houses.base.questions)
        if change is not None:
            case = change(case)
        made = make_request(houses, case, MADE_ON, audience, depth)
        if numbers:
            first, *rest = made.finding.walls
            walls = (replace(first, numbers=made_numbers()), *rest)
            made = replace(made, finding=replace(made.finding, walls=walls))
        return made

    return request
