"""What an earlier edition asked once for the house, and is asked for each wall now."""

import pytest

from walltriage.case.read import parse_case
from walltriage.errors import InputError
from walltriage.inference.columns.evaluator import ColumnEvaluator

CASE = """schema: walltriage/case/1
house: {{drawings_at_hand: engineer_letter, papers_say: carries_nothing, papers_fit: names_it}}
walls: [{}]
asked: [house/papers_say]
"""


def read(full, walls):
    return parse_case(CASE.format(walls), "case", full.base.questions)


def test_of_one_wall_it_is_that_wall(full):
    """A case with one wall says what it always said."""
    case = read(full, "{id: w1, name: Wall}")
    assert set(case.house) == {"drawings_at_hand"}
    told = case.walls[0].answers
    assert {name: (a.value, a.sure) for name, a in told.items()} == {
        "papers_say": ("carries_nothing", "certain"),
        "papers_fit": ("names_it", "certain"),
    }
    assert [(step.subject, step.question) for step in case.asked] == [("w1", "papers_say")]


def test_of_several_walls_nobody_knows_which_was_meant(full):
    """A letter that names one wall is a guess about each, and clears none."""
    case = read(full, "{id: w1, name: A}, {id: w2, name: B, answers: {papers_fit: not_sure}}")
    first, second = (wall.answers for wall in case.walls)
    assert {a.sure for a in first.values()} == {"guess"}
    assert second["papers_fit"].value == "not_sure"
    assert second["papers_fit"].sure == "certain"
    columns = ColumnEvaluator(full.base)
    fits = columns.evaluate(columns.coder.encode([{**case.house, **first}]))
    assert "papers_that_fit" not in fits.fired_rules(0, "fact")


def test_other_questions_of_walls_are_still_refused_under_house(full):
    """Only what was asked so once is read so."""
    with pytest.raises(InputError, match="is asked once for the wall"):
        parse_case(
            CASE.replace("papers_say: carries_nothing", "wall_line: long_line").format(
                "{id: w1, name: Wall}"
            ),
            "case",
            full.base.questions,
        )
