"""Reports of three invented houses, made with a small knowledge base of six load paths."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from tests.conftest import HERE
from walltriage.case.read import read_case
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge
from walltriage.report.files import make_request
from walltriage.report.subject import Request

REPORT_RULES = HERE / "report_rules"
CASES = Path(__file__).resolve().parent / "cases"
MADE_ON = "2026-03-15"
NUMBERS = {
    "lines": ["Line load on the wall: 180 to 260 lb per foot.", "Beam: 3 plies of 2x12 works."],
    "steps": ["w = 10 psf x 13 ft = 130 plf", "M = w L^2 / 8 = 3.2 kip ft"],
    "span": {"span_without_in": [300, 310], "capacity_in": [130, 168], "joist": "2x6 at 16 in"},
    "findings": ["Nothing has been seen under the right end."],
    "members": [{"name": "3 plies 2x12", "use": [0.71, 0.8, 0.93]}, {"name": "none", "use": None}],
    "way_down": {"post_below": "seen", "footing_area_sqft": 2.25},
}
MakeRequest = Callable[..., Request]


@pytest.fixture(scope="session")
def houses() -> Triager:
    """The knowledge base of the report tests."""
    return Triager(load_knowledge(REPORT_RULES))


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
            walls = (replace(first, numbers=NUMBERS), *rest)
            made = replace(made, finding=replace(made.finding, walls=walls))
        return made

    return request
