"""How many pages a firm's packet has, with the shipped rules: two a house, at most four a wall."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pytest

from tests.conftest import HERE
from walltriage.case.answers import make_answer
from walltriage.case.model import HOUSE, NO_ANSWER
from walltriage.case.read import read_case
from walltriage.report.files import make_request, rendered
from walltriage.report.shortened import MOST_CLASHES, observations

pypdf = pytest.importorskip("pypdf")

NUMBER = re.compile(r"\\?\[(\d+)\\?\]")
MOST_OF_A_HOUSE, MOST_OF_A_WALL = 2, 4
HOUSES = {
    "01-ranch-with-trusses": 1,
    "04-bungalow-with-roof-props": 1,
    "05-new-house-engineered-floor": 1,
    "14-earthquake-country": 1,
    "16-joists-along-the-wall": 1,
    "12-two-walls-under-rooms-in-the-roof": 2,
    "plan_hall_pair_one_level": 2,
    "plan_knee_walls": 2,
    "plan_addition_behind": 3,
    "plan_stack_of_two_levels": 3,
    "plan_six_walls_three_levels": 6,
}
"""Demo houses, the longest among them, and how many walls each asks about."""


def demo(full, name):
    return read_case(HERE / "demo_houses" / f"{name}.yaml", full.base.questions)


def pages(full, case):
    """How many pages the house has, and each wall."""
    request = make_request(full, case, "2026-03-15", "firm")
    reader = pypdf.PdfReader(io.BytesIO(rendered(request, "pdf")), strict=True)
    starts = [reader.get_destination_page_number(entry) for entry in reader.outline]
    return [
        end - start for start, end in zip(starts, [*starts[1:], len(reader.pages)], strict=True)
    ]


def all_answered(full, case):
    for name, question in full.base.questions.items():
        entry = question.entry
        if entry.kind == "computed":
            continue
        value = question.values[-1] if entry.answer == "choice" else str(entry.most or "text")
        for subject in [HOUSE] if question.scope == HOUSE else [w.id for w in case.walls]:
            known = case.house if subject == HOUSE else case.wall(subject).answers
            if name not in known or known[name].value in NO_ANSWER:
                case = case.with_answer(subject, name, make_answer(name, question, value))
    return case


@pytest.mark.parametrize("name", HOUSES)
def test_a_packet_keeps_to_its_pages(full, name):
    """Two pages of the house, then at most four of each wall, and none after them."""
    house, *walls = pages(full, demo(full, name))
    assert house <= MOST_OF_A_HOUSE
    assert len(walls) == HOUSES[name]
    assert max(walls) <= MOST_OF_A_WALL


@pytest.mark.parametrize("name", ["plan_six_walls_three_levels", "04-bungalow-with-roof-props"])
def test_every_question_answered(full, name):
    """Whatever nobody answered gets its last answer, which contradicts a good part of the rest."""
    case = all_answered(full, demo(full, name))
    house, *walls = pages(full, case)
    assert sum(len(wall.contradictions) for wall in full.finding(case).walls) > MOST_CLASHES - 1
    assert house <= MOST_OF_A_HOUSE
    assert max(walls) <= MOST_OF_A_WALL


def test_twelve_walls(full):
    """Six walls twice, and no plan."""
    case = demo(full, "plan_six_walls_three_levels")
    twins = tuple(replace(w, id=f"{w.id}b", name=f"{w.name}, once more") for w in case.walls)
    house, *walls = pages(full, replace(case, plan=None, walls=(*case.walls, *twins)))
    assert len(walls) == 12
    assert house <= MOST_OF_A_HOUSE
    assert max(walls) <= MOST_OF_A_WALL


def test_what_is_shortened_is_said_all_the_same(full):
    """Answers said place by place are all there, numbers with their questions, notes in a table."""
    case = demo(full, "04-bungalow-with-roof-props")
    observed = full.finding(case).walls[0].observed
    section = observations("Answers", observed, 2, "Observations", 3)
    table, *paragraphs = section.blocks
    notes = [row.note for row in observed if row.note]
    assert [row[-1] for row in table.rows] == notes
    told = " ".join(paragraph.text for paragraph in paragraphs)
    for row in observed:
        assert row.note or (row.ask if row.value == "unknown" else row.says) in told, row.question
        assert row.note or row.number is None or f"{row.ask} {row.says}" in told


def test_a_source_cited_on_paper_is_listed_there(full):
    """The numbers in brackets lead to a line of the list, and the list has no other line."""
    case = demo(full, "plan_hall_pair_one_level")
    request = make_request(full, case, "2026-03-15", "firm")
    told = rendered(request, "md").decode("utf-8").partition("\n### Sources cited")
    cited = set(NUMBER.findall(told[0]))
    listed = NUMBER.findall(told[2].partition("\n## ")[0])
    assert cited
    assert cited == set(listed)
    assert len(listed) == len(set(listed))
