"""The result on a terminal: short by default, no ids in it, and everything at the last depth."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pytest

from tests.unit.report.test_pages import NEVER
from tests.unit.report.test_samples import CASES
from walltriage.case.read import parse_case, read_case
from walltriage.report import words
from walltriage.report.fitting import lines
from walltriage.report.for_screen import sheets
from walltriage.report.house_terminal import print_result
from walltriage.report.subject import Request
from walltriage.report.terminal import make_console, print_finding
from walltriage.report.texts import texts_for

LINES, LINES_BEHIND = 40, 120
"""At 80 columns, of any number of walls."""
ID = re.compile(r"\b[a-z]+(?:_[a-z]+)+\b")


def shown(full, path, depth):
    """What a person sees at 80 columns."""
    return shown_of(full, read_case(path, full.base.questions), depth)


def shown_of(full, case, depth):
    """The same of a case at hand."""
    buffer = io.StringIO()
    request = Request(full.finding(case), texts_for(full.base), case.role, depth, "")
    print_result(make_console(buffer, 80), request)
    return case, buffer.getvalue()


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_what_counts_fits_a_screen(full, path):
    """Verdict, reasons, looks and cautions; no id, weight, digest or useless share among them."""
    case, text = shown(full, path, 1)
    assert text.count("\n") <= LINES
    for wall in full.finding(case).walls:
        assert words.VERDICT_WORDS[wall.verdict] in text
        assert len(case.walls) == 1 or (wall.name or wall.id) in text
        assert words.VERDICT_MEANING[wall.verdict] in " ".join(text.split())
        assert wall.referral.text in " ".join(text.split())
    assert len(case.walls) > 1 or "What counts most" in text or "nothing" in path.stem
    assert "Before a cover comes off or a hole is made" in " ".join(text.split())
    assert words.LIMITS_SENTENCE in " ".join(text.split())
    assert not ID.search(text)
    assert not re.search(r"sha256| dB\b|more than 99 in 100", text)
    assert not NEVER.search(text)


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_what_is_behind_it(full, path):
    """At the second depth each load path, what stood in the way, and the opening-up plan."""
    case, text = shown(full, path, 2)
    finding = full.finding(case)
    assert text.count("\n") <= LINES_BEHIND
    told = " ".join(text.split())
    for wall in finding.walls:
        assert all(path.title in told for path in wall.load_paths)
        assert wall.opening is None or wall.opening.steps[-1].title in told
    assert not re.search(r"sha256| dB\b", text)


def test_everything_is_there_at_the_last(full):
    """Every caution with its source, every rule that fired with its condition, every weight."""
    case, text = shown(full, CASES[0], 3)
    told = " ".join(text.split())
    for wall in full.finding(case).walls:
        assert all(" ".join(caution.text.split()) in told for caution in wall.cautions)
        assert all(fired.rule in told for fired in wall.trace)
    assert " dB" in told
    assert "because answer" in told


def test_many_walls_of_a_house_fit_a_screen(full):
    """Of more walls than a screen has lines for, the most urgent; the rest are counted."""
    case = read_case(CASES[0], full.base.questions)
    wall = case.walls[0]
    for many in (2, 5, 9, 30):
        walls = tuple(replace(wall, id=f"w{n}", name=f"wall {n}") for n in range(many))
        _, text = shown_of(full, replace(case, walls=walls, plan=None), 1)
        assert text.count("\n") <= LINES, many
        named = len(set(re.findall(r"^wall (\d+): ", text, re.MULTILINE)))
        assert named == many or f"and {many - named} more, less urgent" in text


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
@pytest.mark.parametrize("depth", [1, 2])
def test_lines_are_counted_as_they_are_printed(full, path, depth):
    """What is chosen to fit is counted right, to within the lines that break elsewhere."""
    case = read_case(path, full.base.questions)
    request = Request(full.finding(case), texts_for(full.base), case.role, depth, "")
    buffer = io.StringIO()
    print_finding(make_console(buffer, 80), request)
    assert abs(lines(sheets(request)) - buffer.getvalue().count("\n")) <= 1


def test_walls_of_one_name_are_told_apart(full):
    case = read_case(CASES[0], full.base.questions)
    one = case.walls[0]
    same = replace(
        case, walls=(replace(one, id="a", name="hall"), replace(one, id="b", name="hall"))
    )
    assert same.called() == {"a": "hall (a)", "b": "hall (b)"}
    assert case.called() == {one.id: one.name}


def test_a_wall_told_bearing_by_its_place_says_so_first(full):
    """No single answer weighs as much as what most such walls do."""
    house = (
        "schema: walltriage/case/1\nhouse: {house_kind: detached, walls_made_of: wood_frame, "
        "year_built: 1925}\nwalls: [{id: w1, answers: {above_wall: part_rooms, wall_place: inside, "
        "wall_against_ridge: with_ridge, place_in_depth: middle_third, roof_both_sides: one_roof, "
        "wall_height: reaches_ceiling, wall_length: 12 ft}}]\n"
    )
    _, text = shown_of(full, parse_case(house, "case", full.base.questions), 1)
    assert "LIKELY BEARING" in text
    first = " ".join(text.split()).split("What counts most")[1].split("- ")[1]
    assert "48 to 85 hold up framing" in first
    assert first.rstrip().endswith("(strongly for)")
