"""One answer that speaks for bearing, added to each scenario of a wall told to be non-bearing.

Where by itself it says that something rests on the wall, "non-bearing" goes.  Any other either
lifts what is told, or at worst lowers the upper end of the interval by a tenth: that much may
come of a look that is doubted elsewhere.
"""

from pathlib import Path

import pytest

from walltriage.case.model import Answer
from walltriage.inference.columns.evaluator import VERDICTS, ColumnEvaluator
from walltriage.rule_testing.scenario_files import read_scenarios
from walltriage.rule_testing.scenarios import WALL

HERE = Path(__file__).parent
NON_BEARING = VERDICTS.index("likely_non_bearing")
MOST_FALL = 0.1


@pytest.fixture(scope="module")
def evaluator(full):
    return ColumnEvaluator(full.base)


@pytest.fixture(scope="module")
def non_bearing(evaluator):
    """Answers of every scenario that ends in "non-bearing"."""
    return [
        (scenario.name, scenario.case.answers_for(WALL))
        for scenario in read_scenarios(HERE, evaluator.base)
        if scenario.expect.verdict == "likely_non_bearing"
    ]


def adverse_answers(base):
    """(question, value) of every answer likelier at a bearing wall than at another."""
    found = {}
    bearing = {name for name, path in base.paths.items() if path.entry.bears}
    for name in bearing:
        for clue in base.paths[name].entry.clues:
            rows = list(clue.shows.values())
            for value in rows[-1]:
                if rows[-1][value] > rows[0][value]:
                    found[clue.question, value] = None
    return [pair for pair in found if base.questions[pair[0]].entry.answer == "choice"]


def rests_by_itself(evaluator, pairs):
    """Those of the answers that alone make a sign of a bearing path fire."""
    bearing = {s.id for path, s in evaluator.base.signs() if evaluator.base.paths[path].entry.bears}
    sets = [{q: Answer(v, None, v)} for q, v in pairs]
    result = evaluator.evaluate(evaluator.encode(sets))
    return {
        pair for row, pair in enumerate(pairs) if bearing & set(result.fired_rules(row, "sign"))
    }


def told(answers, question):
    """What the scenario answers to a question, as a pair."""
    return question, answers[question].value if question in answers else None


def test_adverse_answers_count(evaluator, non_bearing):
    pairs = adverse_answers(evaluator.base)
    decisive = rests_by_itself(evaluator, pairs)
    assert len(non_bearing) > 10
    assert len(pairs) > 100
    assert len(decisive) > 10
    before = evaluator.evaluate(evaluator.encode([answers for _, answers in non_bearing]))
    wrong = []
    for row, (name, answers) in enumerate(non_bearing):
        assert before.verdict[row] == NON_BEARING
        sets = [answers | {q: Answer(v, None, v)} for q, v in pairs]
        after = evaluator.evaluate(evaluator.encode(sets))
        for index, pair in enumerate(pairs):
            if after.verdict[index] != NON_BEARING:
                continue
            if pair in decisive:
                wrong.append(
                    f"{name}: {pair} says that something rests here, and still non-bearing"
                )
            elif told(answers, pair[0]) in pairs:
                continue  # it takes the place of another adverse answer, perhaps a worse one
            elif after.upper[index] < (1 - MOST_FALL) * before.upper[row]:
                wrong.append(
                    f"{name}: {pair} lowers {before.upper[row]:.4f} to {after.upper[index]:.4f}"
                )
    assert wrong == []
