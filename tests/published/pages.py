"""Walls described on public pages: their entries, and what the tool makes of each.

``cases/`` holds one case file for each wall; ``cases.yaml`` and ``cases_2.yaml`` hold its page,
what those who answered concluded or what came out, and what they asked for.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.conftest import read_yaml
from walltriage.case.read import read_case
from walltriage.inference.finding import WallFinding
from walltriage.inference.triage import Triager

HERE = Path(__file__).resolve().parent
CASES = HERE / "cases"
COLLECTIONS = {"first": "cases.yaml", "second": "cases_2.yaml"}


def _entries(file: str) -> dict[str, dict[str, Any]]:
    """The entries of one collection by case."""
    return {page["case"]: page for page in read_yaml(HERE / file)}


BY_COLLECTION = {name: _entries(file) for name, file in COLLECTIONS.items()}
PAGES = {case: page for pages in BY_COLLECTION.values() for case, page in pages.items()}


@dataclass(frozen=True, slots=True)
class Judged:
    """One wall of one case, as the tool finds it, beside its page."""

    case: str
    page: dict[str, Any]
    wall: WallFinding


def walls(triager: Triager, case: str) -> tuple[WallFinding, ...]:
    """The findings for the walls of one case."""
    return triager.finding(read_case(CASES / f"{case}.yaml", triager.base.questions)).walls


def judge(triager: Triager, cases: list[str] | None = None) -> list[Judged]:
    """Every wall of these cases, or of all."""
    return [
        Judged(case, PAGES[case], wall) for case in cases or PAGES for wall in walls(triager, case)
    ]


def carries(page: dict[str, Any]) -> bool:
    """Whether the wall, or a part of it that must stay, was found to carry something."""
    return page["answer"] == "bears" or "stays" in page


def names_what_they_asked_for(judged: Judged, questions: Any) -> bool:
    """Whether a next check is what the page asks for, or is made at a place it names."""
    wanted = judged.page["asked_for"]
    checks = {check.question for check in judged.wall.next_checks}
    places = {questions[check].place for check in checks}
    return bool(checks & set(wanted["questions"]) or places & set(wanted["places"]))
