"""Over all questions: an answer changes something, or the result says that it did not count."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.inference.answer_sets import random_answer
from walltriage.inference.not_counted import not_counted
from walltriage.inference.numbers.computed import computed_answers
from walltriage.rule_testing.scenario_files import read_scenarios
from walltriage.rule_testing.scenarios import WALL

SCENARIOS = Path(__file__).resolve().parents[2] / "rules"
BESIDE = ("nothing", "joists along the wall, followed end to end")


@pytest.fixture(scope="module")
def walls(full):
    """What the answers are given beside, by name."""
    found = {s.name: s.case.answers_for(WALL) for s in read_scenarios(SCENARIOS, full.base)}
    return {"nothing": {}} | {name: found[name] for name in BESIDE[1:]}


def real_answer(question, draw):
    """Any answer but "I don't know"."""
    while not (answer := random_answer(question, draw)).is_real:
        pass
    return answer


def come_out(full, answers):
    """What the result holds but the clues that merely report an answer, and what did not count."""
    whole = {**answers, **computed_answers(full.base, answers)}
    result = full.evaluator.evaluate(whole)
    clues = {clue.id for clue in full.base.clues()}
    fired = {f.rule for f in result.firings if f.kind != "question" and f.rule not in clues}
    paths = [(name, p.low, p.high, p.status) for name, p in result.paths.items()]
    told = {item.question for item in not_counted(full.evaluator, result, whole)}
    return (fired, result.verdict, dict(result.measures), paths), told


@pytest.mark.parametrize("beside", BESIDE)
def test_what_is_said_not_to_count_changes_nothing(full, walls, beside):
    """Without it the same rules fire, and every chance is the same to the last bit."""
    draw = random.Random(11)
    named, wrong = 0, []
    for name, question in full.base.questions.items():
        if question.entry.kind == "computed":
            continue
        rest = {other: a for other, a in walls[beside].items() if other != name}
        answer = real_answer(question, draw)
        after, told = come_out(full, {**rest, name: answer})
        if name in told:
            named += 1
            if after != come_out(full, rest)[0]:
                wrong.append(f"{name}: {answer.value}")
    assert named > 10
    assert not wrong, wrong
