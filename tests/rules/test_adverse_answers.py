"""One answer that speaks for bearing, added to each scenario of a wall told to be non-bearing.

Where by itself it says that something rests on the wall, "non-bearing" goes.  Any other either
lifts what is told, or at worst lowers the upper end of the interval by a tenth: that much may
come of a look that is doubted elsewhere.  An answer that takes the place of another adverse one
is held against the wall without either, since the one before may have been the worse.
"""

from pathlib import Path

import pytest

from walltriage.case.model import Answer
from walltriage.inference.columns.evaluator import VERDICTS, ColumnEvaluator
from walltriage.knowledge.reads import questions_behind, questions_of
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


def adverse_answers(evaluator):
    """(question, value) of every answer likelier at a bearing wall than at another, by what the
    states of its condition are at each, or by its last state against its first."""
    base, found = evaluator.base, {}
    for path in base.paths.values():
        for clue in path.entry.clues if path.entry.bears else ():
            given = path.conditions[clue.condition][1]
            rows = list(clue.shows.values())
            for value in rows[-1]:
                here, not_here = (
                    sum(side[state] * row[value] for state, row in clue.shows.items())
                    for side in (given.bearing, given.not_bearing)
                )
                if here > not_here or rows[-1][value] > rows[0][value]:
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
    pairs = adverse_answers(evaluator)
    decisive = rests_by_itself(evaluator, pairs)
    assert len(non_bearing) > 10
    assert len(pairs) > 100
    assert len(decisive) > 10
    before = evaluator.evaluate(evaluator.encode([answers for _, answers in non_bearing]))
    sets_a_rate = questions_of_rates(evaluator.base)
    wrong = []
    for row, (name, answers) in enumerate(non_bearing):
        assert before.verdict[row] == NON_BEARING
        after = evaluator.evaluate(
            evaluator.encode([answers | {q: Answer(v, None, v)} for q, v in pairs])
        )
        uppers = {None: before.upper[row]} | without_one(evaluator, answers, pairs)
        for index, pair in enumerate(pairs):
            replaced = told(answers, pair[0])
            if replaced == pair or (replaced in pairs and pair[0] in sets_a_rate):
                continue  # nothing changes; or it is another kind of house, with rates of its own
            least = (1 - MOST_FALL) * uppers[pair[0] if replaced in pairs else None]
            if after.verdict[index] == NON_BEARING and pair in decisive:
                wrong.append(
                    f"{name}: {pair} says that something rests here, and still non-bearing"
                )
            elif after.verdict[index] == NON_BEARING and after.upper[index] < least:
                wrong.append(f"{name}: {pair} lowers it to {after.upper[index]:.4f} of {least:.4f}")
    assert not wrong, "\n".join(wrong)


def questions_of_rates(base):
    """The questions on which the base rates of any path hang, by facts too."""
    behind = questions_behind(base)
    rates = (rate for path in base.paths.values() for rate in path.entry.base_rates)
    return set().union(*(questions_of(rate.when, behind) for rate in rates))


def without_one(evaluator, answers, pairs):
    """Upper ends of the interval without each adverse answer of the wall, by its question."""
    given = [q for q in answers if told(answers, q) in pairs]
    rest = [{name: a for name, a in answers.items() if name != q} for q in given]
    found = evaluator.evaluate(evaluator.encode(rest)).upper if rest else ()
    return dict(zip(given, found, strict=True))
