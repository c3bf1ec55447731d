"""What the belief and the gates can never do, shown over all answers and not by samples.

For each condition every combination of answers to its clues is tried where there are few
enough; for the rest the lemma holds which the small ones confirm.  The lemma: let the
table of a clue, as the belief mixes it, have no negative adjacent 2x2 minor, and let the
states run from against to for.  Then for any positive weights v over the states, so for
whatever the other answers say, the ratio sum(p_B v L_a) / sum(p_N v L_a) rises with the
answer a, because composing totally positive kernels of order 2 gives such a kernel again
(Karlin 1968).  The weights v are arbitrary, so one check of one table covers every
combination of all other answers.
"""

from __future__ import annotations

from itertools import pairwise, product

import pytest

from walltriage.case.model import NO_ANSWER, Answer
from walltriage.inference.belief.extremes import (
    answers_of,
    combinations,
    effective_rows,
    least,
    live_clues,
    most,
    path_least,
    posterior,
    reliabilities,
)
from walltriage.inference.belief.tree import Reported
from walltriage.knowledge.lints.tables import falling_minor
from walltriage.knowledge.satisfy import Satisfier
from walltriage.knowledge.terms import Leaf, branches

MOST_COMBINATIONS = 3_000
DOCUMENTS = ("papers", "word_of_experts")  # plans and an engineer's letter
ROUNDING_DB = 1e-9


@pytest.fixture(params=["small", "full"])
def triager(request):
    """Each knowledge base in turn."""
    return request.getfixturevalue(request.param)


def conditions(triager):
    """(path, condition, table, clues) for every condition on every path."""
    for path, tables in triager.evaluator.belief.tables.items():
        for name, table in tables.items():
            yield path, name, table, live_clues(triager.base, path, name)


def count(base, clues):
    """How many combinations of answers a condition has."""
    total = 1
    for clue in clues:
        total *= len(answers_of(base, clue)) + 1
    return total


def on_a_scale(triager):
    """The conditions whose states are a scale: of others no order of a clue's answers suits all."""
    return [c for c in conditions(triager) if c[2].ordered]


def small_conditions(triager):
    """The conditions whose combinations are few enough to try all; never none."""
    found = [c for c in on_a_scale(triager) if count(triager.base, c[3]) <= MOST_COMBINATIONS]
    assert found
    return found


def test_every_table_meets_the_lemma(triager):
    """All minors of all tables, at every reliability that any answer can have."""
    checked = 0
    for path, name, table, clues in conditions(triager):
        assert falling_minor([table.not_bearing, table.bearing]) is None, (path, name)
        for clue in clues if table.ordered else ():
            for trust in reliabilities(triager.base, clue.question):
                rows = effective_rows(table, clue, trust)
                assert falling_minor(rows) is None, (clue.id, trust)
                checked += 1
    scaled = {clue.id for c in on_a_scale(triager) for clue in c[3]}
    assert checked >= 3 * len(scaled) > 0


def test_raising_one_answer_never_lowers_the_weight(triager):
    """Over every combination, each clue's answers in order give weights in order."""
    for path, name, table, clues in small_conditions(triager):
        for index, clue in enumerate(clues):
            others = clues[:index] + clues[index + 1 :]
            for given in combinations(triager.base, others):
                held = [answer for answer in given if answer is not None]
                weights = [table.weight([*held, a]) for a in answers_of(triager.base, clue)]
                for lower, higher in pairwise(weights):
                    assert lower <= higher + ROUNDING_DB, (path, name, clue.id, held)


def test_no_combination_goes_beyond_the_extremes(triager):
    """What is called the least and the most that a condition weighs is just that."""
    for _, name, table, clues in small_conditions(triager):
        weights = [
            table.weight([answer for answer in given if answer is not None])
            for given in combinations(triager.base, clues)
        ]
        assert min(weights) == pytest.approx(least(triager.base, table, clues), abs=1e-9), name
        assert max(weights) == pytest.approx(most(triager.base, table, clues), abs=1e-9), name


def test_less_reliable_answers_stay_within(triager):
    """At every mix of reliabilities no weight leaves the range of the most reliable ones."""
    for path, name, table, clues in on_a_scale(triager):
        low, high = least(triager.base, table, clues), most(triager.base, table, clues)
        for clue in clues:
            ends = [answers_of(triager.base, clue)[0], answers_of(triager.base, clue)[-1]]
            rest = [c for c in clues if c is not clue]
            for end, trust in product(ends, reliabilities(triager.base, clue.question)):
                weaker = Reported(end.clue, end.condition, end.value, trust)
                for side in (0, -1):
                    held = [answers_of(triager.base, c)[side] for c in rest]
                    weight = table.weight([*held, weaker])
                    assert low - ROUNDING_DB <= weight <= high + ROUNDING_DB, (path, name)


def test_no_condition_counts_for_more_than_itself(triager):
    """All clues of a condition together stay within what the condition's states weigh."""
    for path, name, table, clues in conditions(triager):
        states = [table.bearing[i] / table.not_bearing[i] for i in range(len(table.bearing))]
        bound = 10 ** (least(triager.base, table, clues) / 10)
        assert min(states) - 1e-9 <= bound, (path, name)
        assert 10 ** (most(triager.base, table, clues) / 10) <= max(states) + 1e-9, (path, name)


def unseen_kinds(base):
    """The kinds of question whose answers do not count as seen."""
    kinds = {question.entry.kind for question in base.questions.values()}
    return kinds - set(base.guards.seen_kinds)


def test_framing_unseen_always_withholds_non_bearing(triager):
    """A gate without any other test withholds it, and every way to that verdict heeds gates."""
    guards = triager.base.guards
    unseen = (Leaf("seen_against", "framing_above", negated=True),)
    assert any(
        gate.withholds == "likely_non_bearing"
        and gate.status == "reviewed"
        and unseen in branches(gate.when)
        for gate in guards.gates
    )
    blocked = Leaf("block", "any", negated=True)
    ways = [
        branch
        for verdict in guards.verdicts
        if verdict.concludes == "likely_non_bearing"
        for branch in branches(verdict.when)
    ]
    assert ways
    assert all(blocked in branch for branch in ways)


@pytest.mark.parametrize(
    "hindrance",
    [
        {"sign": "any"},
        {"scope": "any"},
        {"contradiction": "any"},
        {"not": {"seen_against": "framing_above"}},
    ],
    ids=str,
)
def test_non_bearing_is_out_of_reach_by_logic(triager, hindrance):
    """No answers at all, and no belief, give "non-bearing" beside any of these."""
    term = branches({"all": [{"verdict": "likely_non_bearing"}, hindrance]})
    assert not Satisfier(triager.base, interview=False).term(term)
    assert Satisfier(triager.base).term(branches({"verdict": "likely_non_bearing"}))


def strongest_unseen(triager):
    """For every path, the answers that speak against it most, none of a kind that is seen."""
    base, kinds = triager.base, unseen_kinds(triager.base)
    for path, tables in triager.evaluator.belief.tables.items():
        answers = {}
        for name in tables:
            for clue in live_clues(base, path, name):
                if base.questions[clue.question].entry.kind in kinds:
                    answers[clue.question] = Answer(answers_of(base, clue)[0].value)
        yield path, answers


def test_nothing_seen_never_gives_non_bearing(triager):
    """By all indirect answers at their strongest, path by path and together, it is withheld."""
    together = {}
    for path, answers in strongest_unseen(triager):
        together |= answers
        result = triager.evaluator.evaluate(answers)
        assert result.verdict != "likely_non_bearing", path
        assert not any(state.seen_against for state in result.paths.values())
        assert result.fired("gate")
    assert triager.evaluator.evaluate(together).verdict != "likely_non_bearing"


def test_no_single_answer_gives_non_bearing(triager):
    """Each answer to each question alone, said for certain: never "likely non-bearing"."""
    for name, question in triager.base.questions.items():
        for value in (*question.values, *NO_ANSWER):
            result = triager.evaluator.evaluate({name: Answer(value)})
            assert result.verdict != "likely_non_bearing", (name, value)


def test_all_unknown_is_cannot_tell(triager):
    """Knowing nothing decides nothing, in either form of not knowing."""
    for word in NO_ANSWER:
        answers = {name: Answer(word) for name in triager.base.questions}
        assert triager.evaluator.evaluate(answers).verdict == "cannot_tell"


def hints_weight(triager, kinds, left_out=()):
    """What all answers of these kinds together can weigh against framing, some conditions apart."""
    belief = triager.evaluator.belief
    return path_least(triager.base, belief, "framing_above", kinds) - sum(
        least(triager.base, table, clues)
        for path, name, table, clues in of_kinds(triager, kinds)
        if path == "framing_above" and name in left_out
    )


def of_kinds(triager, kinds):
    """Every condition with those of its clues whose questions are of these kinds."""
    for path, name, table, clues in conditions(triager):
        yield (
            path,
            name,
            table,
            [clue for clue in clues if triager.base.questions[clue.question].entry.kind in kinds],
        )


def left_open(triager, weight):
    """The base rates of framing from which this weight does not rule the path out."""
    mark = triager.base.guards.thresholds["path_ruled_out_at_most"]
    rates = triager.base.paths["framing_above"].entry.base_rates
    return [rate for rate in rates if posterior(rate, weight)[1] > mark]


def usual(triager):
    """The base rates that reach one in two."""
    rates = triager.base.paths["framing_above"].entry.base_rates
    found = [rate for rate in rates if rate.in_100[1] >= 50]
    assert found
    return found


def test_hearsay_leaves_framing_above_the_mark(triager):
    """What people recall and judge, all of it at its strongest, rules framing out from few base
    rates; the mark of the whole wall is higher and leaves it to gates that somebody has looked.

    Papers and an engineer's letter are left out here: they may settle what they speak of.
    """
    weight = hints_weight(triager, unseen_kinds(triager.base) - {"computed"}, DOCUMENTS)
    rates = triager.base.paths["framing_above"].entry.base_rates
    assert len(left_open(triager, weight)) > len(rates) / 2


@pytest.mark.parametrize("beside", ["documents", "worked out"])
def test_framing_stays_above_the_mark_unseen(triager, beside):
    """Beside hearsay, papers and letters, or what is worked out from a tape, do not rule framing
    out from any base rate that reaches one in two.  Both at once may: then a plan, a letter and a
    measured span agree, and the gate asks that somebody has looked (shown above).
    """
    kinds = unseen_kinds(triager.base)
    if beside == "documents":
        weight = hints_weight(triager, kinds - {"computed"})
    else:
        weight = hints_weight(triager, kinds, DOCUMENTS)
    assert not {rate.id for rate in usual(triager)} - {r.id for r in left_open(triager, weight)}
