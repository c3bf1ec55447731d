"""What would narrow a load most: told with the look that settles it, and true once it is made."""

from __future__ import annotations

import pytest

from tests.conftest import HERE
from tests.unit.inference.numbers.test_numbers import LAPPED, finding
from walltriage.case.read import parse_case
from walltriage.report.number_words import narrowing_line

EXAMPLE = (HERE.parent / "docs" / "worked-example.yaml").read_text(encoding="utf-8")
SEEN = ", opened_joist_end: end_or_lap"


def drawn(full, answer: str):
    assert SEEN in EXAMPLE
    text = EXAMPLE.replace(SEEN, f", {answer}" if answer else "")
    return full.finding(parse_case(text, "c.yaml", full.base.questions)).walls[0].numbers


def test_a_wall_on_no_plan(full):
    """The look at the joist ends, made, leaves just the load that was told of it (statics).

    Over 12 ft and 13.5 ft a joist that runs through brings w (L1^3 + L2^3) / (8 L1 L2) + w (L1 +
    L2) / 2 against w (L1 + L2) / 2 of lapped ones; attic live load lies on both spans.
    """
    numbers = finding(full, attic_joists_at_wall=None).numbers
    told = numbers.narrowing
    assert told.about == "joists_through"
    assert told.question in ("overhead_at_wall", "attic_joists_at_wall")
    lapped = 5 * 12.75 + 6 * 8 + 10 * 12.75
    through = lapped + 15 * (12**3 + 13.5**3) / (8 * 12 * 13.5)
    assert (told.low_plf, told.high_plf) == pytest.approx((lapped, through), abs=0.1)
    looked = finding(full, attic_joists_at_wall="end_or_lap").numbers
    assert looked.load.governing_plf.usual == pytest.approx(lapped)
    was, now = numbers.load.governing_plf, looked.load.governing_plf
    assert now.high - now.low < was.high - was.low
    line = narrowing_line(told)
    assert full.base.questions[told.question].entry.ask in line
    assert f"{told.low_plf:,.0f} or {told.high_plf:,.0f} lb a foot" in line


@pytest.mark.parametrize(
    ("answer", "end"),
    [("opened_joist_end: end_or_lap", "low"), ("opened_joist_end: run_through", "high")],
)
def test_a_drawn_wall(full, answer, end):
    """In a whole house: settled either way, the highest load is the one that was told for it."""
    told = drawn(full, "").narrowing
    assert told.about == "joists_through"
    settled = drawn(full, answer).load.governing_plf.high
    assert settled == pytest.approx(getattr(told, f"{end}_plf"), rel=1e-6)


def test_nothing_left_to_look_at(full):
    """With the joists seen, only the weights are open: no question is named for them."""
    told = finding(full, **LAPPED).numbers.narrowing
    assert told is None or not told.question
