"""What speaks for bearing, added to each scenario of a wall told to be non-bearing.

That is each answer of a clue that leans to it, a number in each such band of a measured question,
each answer that only signs read, and each set of answers that a sign needs together.

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
from walltriage.knowledge.terms import branches
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
    states of its condition are at each, or by its last state against its first; and of those
    that only signs read, but for what tells the kind of house.  A value is an option or the band
    of a measured question, unless the number speaks against some other path."""
    base, found, against = evaluator.base, {}, set()
    clues = [
        (path, clue)
        for path in base.paths.values()
        for clue in (path.entry.clues if path.entry.bears else ())
    ]
    for path, clue in clues:
        given = path.conditions[clue.condition][1]
        rows = list(clue.shows.values())
        for value in rows[-1]:
            here, not_here = (
                sum(side[state] * row[value] for state, row in clue.shows.items())
                for side in (given.bearing, given.not_bearing)
            )
            if here > not_here or rows[-1][value] > rows[0][value]:
                found[clue.question, value] = None
            if here < not_here and base.questions[clue.question].entry.answer != "choice":
                against.add((clue.question, value))
    weighed = questions_of_rates(base) | {clue.question for _, clue in clues}
    for told_together in sign_sets(base):
        for question, answer in told_together.items():
            if question not in weighed and answer.number is None:
                found[question, answer.value] = None
    return [pair for pair in found if pair not in against]


def sign_sets(base):
    """The sets of answers that make a sign of a bearing path fire, as far as answers do."""
    found = []
    for path, sign in base.signs():
        for branch in branches(sign.when) if base.paths[path].entry.bears else ():
            answers = [leaf for leaf in branch if leaf.family == "answer" and not leaf.negated]
            found.append({leaf.name: answer_to(base, leaf) for leaf in answers})
    return found


def answer_to(base, leaf):
    """An answer that meets one test; of a number, one a unit within it."""
    if leaf.comparison is None:
        return answer_of(base, leaf.name, leaf.values[0])
    number = leaf.limit + (-1 if leaf.comparison in ("below", "at_most") else 1)
    return Answer(base.questions[leaf.name].band_of(number), number, str(number))


def answer_of(base, question, value):
    """An option, or of a measured question the middle of a band (of the last, a bit over it)."""
    asked = base.questions[question]
    if asked.entry.answer == "choice":
        return Answer(value, None, value)
    ends = [0.0, *(asked.number(band.under) for band in asked.entry.bands[:-1])]
    ends = [*ends, 1.1 * ends[-1]]
    at = asked.values.index(value)
    number = (ends[at] + ends[at + 1]) / 2
    return Answer(value, number, str(number))


def decisive_sets(evaluator, sets):
    """Of sets of answers, those that alone make a sign of a bearing path fire, by index."""
    bearing = {s.id for path, s in evaluator.base.signs() if evaluator.base.paths[path].entry.bears}
    result = evaluator.evaluate(evaluator.encode(sets))
    return {row for row in range(len(sets)) if bearing & set(result.fired_rules(row, "sign"))}


def told(answers, question):
    """What the scenario answers to a question, as a pair."""
    return question, answers[question].value if question in answers else None


def test_adverse_answers_count(evaluator, non_bearing):
    base, sets_a_rate = evaluator.base, questions_of_rates(evaluator.base)
    pairs = adverse_answers(evaluator)
    added = [{q: answer_of(base, q, v)} for q, v in pairs]
    decisive = {pairs[row] for row in decisive_sets(evaluator, added)}
    measured = [q for q, _ in pairs if base.questions[q].entry.answer != "choice"]
    assert len(non_bearing) > 10
    assert len(pairs) > 300
    assert len(measured) > 5
    assert len(decisive) > 10
    before = evaluator.evaluate(evaluator.encode([answers for _, answers in non_bearing]))
    wrong = []
    for row, (name, answers) in enumerate(non_bearing):
        assert before.verdict[row] == NON_BEARING
        after = evaluator.evaluate(evaluator.encode([answers | more for more in added]))
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


def test_what_signs_need_together_is_never_beside_non_bearing(evaluator, non_bearing):
    sets = sign_sets(evaluator.base)
    decisive = decisive_sets(evaluator, sets)
    assert len(decisive) > 50  # most of them do by themselves
    wrong = []
    for name, answers in non_bearing:
        after = evaluator.evaluate(evaluator.encode([answers | more for more in sets]))
        wrong += [
            f"{name}: { ({q: a.value for q, a in sets[row].items()}) }"
            for row in sorted(decisive)
            if after.verdict[row] == NON_BEARING
        ]
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
