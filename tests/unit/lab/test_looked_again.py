"""Second looks: at what clashes, tells of a sign or was not known, and at nothing else."""

from __future__ import annotations

import numpy as np
import pytest

from tests.interview.answering import TWO_STORY_HOUSE, told_all
from walltriage.case.model import Answer, Wall
from walltriage.inference.columns.codes import UNKNOWN
from walltriage.inference.columns.evaluator import VERDICTS, ColumnEvaluator
from walltriage.lab.answers import answer_all
from walltriage.lab.looked_again import SecondLooks, look_again

WALLS = range(150)
CLEAR = VERDICTS.index("likely_non_bearing")
CLASH = {
    "above_wall": "only_attic", "top_space": "attic", "wall_height": "reaches_ceiling",
    "wall_traced": "whole", "wall_top": "clear_all_along", "opened_top": "board_ends",
}  # fmt: skip


@pytest.fixture(scope="module")
def evaluator(full) -> ColumnEvaluator:
    return ColumnEvaluator(full.base)


def told(evaluator, **answers):
    batch = evaluator.coder.empty(1)
    for name, value in answers.items():
        evaluator.coder.put(batch, 0, name, Answer(value, None, value))
    return batch


def kept(evaluator, batch, name):
    answer = evaluator.coder.decode(batch, 0, [name]).get(name)
    return answer.value if answer else None


def saying(word):
    return lambda row: lambda name: Answer(word if name == "opened_top" else UNKNOWN_WORD, None, "")


UNKNOWN_WORD = "unknown"


def test_second_word_replaces_the_first(evaluator):
    """A joist end seen in the opening beside a top seen clear in the attic is looked at again."""
    batch = look_again(evaluator, told(evaluator, **CLASH), saying("clear_all_along"))
    assert kept(evaluator, batch, "opened_top") == "clear_all_along"
    assert kept(evaluator, batch, "wall_top") == "clear_all_along"


def test_who_cannot_tell_at_the_second_look_keeps_the_first_word(evaluator):
    batch = look_again(evaluator, told(evaluator, **CLASH), saying(UNKNOWN_WORD))
    assert kept(evaluator, batch, "opened_top") == "board_ends"


def test_nothing_else_is_looked_at_again(evaluator):
    """Answers that neither clash nor tell of a sign stay; what was not known is wanted."""
    plain = told(
        evaluator, above_wall="only_attic", wall_thickness="unknown", ceiling_at_wall="step"
    )
    wanted = SecondLooks(evaluator).wanted(plain)[0]
    names = {evaluator.coder.questions[column] for column in np.flatnonzero(wanted)}
    assert names == {"wall_thickness"}


def test_truth_stays_as_told(evaluator):
    """People who err in nothing say the same twice."""
    once, _ = answer_all(evaluator, 34, WALLS, "perfect", "opened")
    twice, _ = answer_all(evaluator, 34, WALLS, "perfect", "opened", twice=True)
    assert (once.codes == twice.codes).all()


def test_slips_are_mended(evaluator):
    """Fewer contradictions and unknowns are left of people who err now and then."""
    batches = [
        answer_all(evaluator, 34, WALLS, "careful", "opened", twice=t)[0] for t in (False, True)
    ]
    clashes, unknown = [], []
    for batch in batches:
        result = evaluator.evaluate(batch)
        clash = [kind == "contradiction" for kind in result.rule_kinds]
        clashes.append(int(result.fired[:, clash].sum()))
        unknown.append(int((batch.codes == UNKNOWN).sum()))
    assert clashes[1] < clashes[0] / 2
    assert unknown[1] < unknown[0]


@pytest.fixture(scope="module")
def under_rooms(full) -> dict[str, Answer]:
    """All that was told of a wall under rooms that is called non-bearing."""
    session = told_all(full, TWO_STORY_HOUSE, Wall("w1"), 4)
    return {item.step.question: item.answer for item in session.given}


@pytest.mark.parametrize(("second", "clear"), [("none_within_4_ft", True), ("within_1_ft", False)])
def test_what_non_bearing_rests_on_alone(evaluator, under_rooms, second, clear):
    """Found the same it is told twice; a wall found upstairs keeps this one open."""
    batch = evaluator.coder.empty(1)
    for name, answer in under_rooms.items():
        evaluator.coder.put(batch, 0, name, answer)
    assert evaluator.evaluate(batch).verdict[0] == CLEAR
    seen = []

    def again(row):
        def tell(name):
            seen.append(name)
            word = second if name == "wall_over_wall" else UNKNOWN_WORD
            return Answer(word, None, word, "certain")

        return tell

    then = look_again(evaluator, batch, again)
    assert "wall_over_wall" in seen
    told_now = evaluator.coder.decode(then, 0, ["wall_over_wall"])["wall_over_wall"]
    assert told_now.sure == ("confirmed" if clear else "certain")
    assert bool(evaluator.evaluate(then).verdict[0] == CLEAR) is clear
