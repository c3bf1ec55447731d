"""How many pages a firm's packet has, with the shipped rules: two a house, at most four a wall."""

from __future__ import annotations

import io
import re

import pytest

from tests.conftest import HERE
from walltriage.case.read import read_case
from walltriage.report.files import make_request, rendered

pypdf = pytest.importorskip("pypdf")

NUMBER = re.compile(r"\\?\[(\d+)\\?\]")
MOST_OF_A_HOUSE, MOST_OF_A_WALL = 2, 4
MOST_WALLS = 3
"""With more, the house's pages may be one more."""
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


@pytest.mark.parametrize("name", HOUSES)
def test_a_packet_keeps_to_its_pages(full, name):
    """Two pages of the house, then at most four of each wall, and none after them."""
    case = read_case(HERE / "demo_houses" / f"{name}.yaml", full.base.questions)
    request = make_request(full, case, "2026-03-15", "firm")
    reader = pypdf.PdfReader(io.BytesIO(rendered(request, "pdf")), strict=True)
    starts = [reader.get_destination_page_number(entry) for entry in reader.outline]
    house, *walls = [
        end - start for start, end in zip(starts, [*starts[1:], len(reader.pages)], strict=True)
    ]
    assert house <= MOST_OF_A_HOUSE + (HOUSES[name] > MOST_WALLS)
    assert len(walls) == HOUSES[name]
    assert max(walls) <= MOST_OF_A_WALL


def test_a_source_cited_on_paper_is_listed_there(full):
    """The numbers in brackets lead to a line of the list, and the list has no other line."""
    case = read_case(HERE / "demo_houses" / "plan_hall_pair_one_level.yaml", full.base.questions)
    request = make_request(full, case, "2026-03-15", "firm")
    told = rendered(request, "md").decode("utf-8").partition("\n### Sources cited")
    cited = set(NUMBER.findall(told[0]))
    listed = NUMBER.findall(told[2].partition("\n## ")[0])
    assert cited
    assert cited == set(listed)
    assert len(listed) == len(set(listed))
