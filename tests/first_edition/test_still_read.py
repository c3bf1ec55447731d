"""Ids are a contract: what the first edition wrote or took is read today, with the same meaning."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conftest import read_yaml
from walltriage.case.read import parse_case, read_case

HERE = Path(__file__).resolve().parent
CASES = sorted((HERE / "cases").glob("*.yaml"))
IDS = read_yaml(HERE / "ids.yaml")
CASE = "schema: walltriage/case/1\nhouse: {}\nwalls: [{id: w1, answers: {}}]\n"


def test_all_are_there():
    """As many as that edition had."""
    assert len(CASES) == 47
    assert len(IDS) > 180


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_case_file_is_read(full, path):
    """No answer is lost, and every step of an interview is still one."""
    raw = read_yaml(path)
    case = read_case(path, full.base.questions)
    moved = {name for name in raw.get("house", {}) if name not in case.house}
    moved &= full.base.questions.keys()  # what each wall is asked today
    assert len(case.house) + len(moved) >= len(raw.get("house", {}))
    assert all(moved <= wall.answers.keys() for wall in case.walls)
    assert [wall.id for wall in case.walls] == [str(wall["id"]) for wall in raw["walls"]]
    for wall, was in zip(case.walls, raw["walls"], strict=True):
        assert len(wall.answers) >= len(was.get("answers", {}))
    assert len(case.asked) >= len(raw.get("asked", []))


@pytest.mark.parametrize("question", IDS)
def test_question_takes_its_options(full, question):
    """Each option, or end of what was accepted, is an answer to what became of the question."""
    scope, *values = IDS[question]
    place = "house: {}" if scope == "house" else "answers: {}"
    for value in values:
        given = place.replace("{}", f'{{{question}: "{value}"}}')
        case = parse_case(CASE.replace(place, given), "case", full.base.questions)
        assert len(case.house) + len(case.walls[0].answers) >= 1, value
