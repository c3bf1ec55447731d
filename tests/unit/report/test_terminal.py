"""The result on a terminal: short by default, no ids in it, and everything at the last depth."""

from __future__ import annotations

import io
import re

import pytest

from tests.unit.report.test_pages import NEVER
from tests.unit.report.test_samples import CASES
from walltriage.case.read import read_case
from walltriage.report import words
from walltriage.report.files import texts_for
from walltriage.report.subject import Request
from walltriage.report.terminal import make_console, print_finding

LINES_A_WALL, LINES_A_FURTHER_WALL, LINES_BEHIND = 40, 20, 120
"""At 80 columns; what holds for all walls stands once, so that a further wall is shorter."""
ID = re.compile(r"\b[a-z]+(?:_[a-z]+)+\b")


def shown(full, path, depth):
    """What a person sees at 80 columns."""
    case = read_case(path, full.base.questions)
    buffer = io.StringIO()
    request = Request(full.finding(case), texts_for(full.base), case.role, depth, "")
    print_finding(make_console(buffer, 80), request)
    return case, buffer.getvalue()


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_what_counts_fits_a_screen(full, path):
    """Verdict, reasons, looks and cautions; no id, weight, digest or useless share among them."""
    case, text = shown(full, path, 1)
    most = LINES_A_WALL + LINES_A_FURTHER_WALL * (len(case.walls) - 1)
    assert text.count("\n") <= most
    for wall in full.finding(case).walls:
        assert words.VERDICT_WORDS[wall.verdict] in text
    assert "What counts most" in text or "nothing" in path.stem
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
    assert text.count("\n") <= LINES_BEHIND * len(case.walls)
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
