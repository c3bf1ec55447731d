"""Column evaluation gives what the reference gives, on shipped and on random rules."""

from __future__ import annotations

import random

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings

from tests.inference.answer_sets import SEEDS, random_answer, random_answers
from tests.inference.made_rules import make_rules
from tests.inference.same_results import differences
from walltriage.case.model import SURENESS_IN_FILES, Answer, Case, Wall
from walltriage.errors import InputError
from walltriage.inference.columns import evaluator as columns
from walltriage.inference.columns.codes import Coder, joined
from walltriage.inference.columns.evaluator import VERDICTS, ColumnEvaluator
from walltriage.inference.columns.rules import ColumnRules
from walltriage.inference.engine.strata import StratifiedRule
from walltriage.inference.numbers import computed
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge
from walltriage.knowledge.terms import Leaf

SETTINGS = settings(
    max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@pytest.fixture(scope="session")
def small_columns(small) -> ColumnEvaluator:
    """The small knowledge base in columns."""
    return ColumnEvaluator(small.base)


@SETTINGS
@given(seed=SEEDS)
def test_small_rules_give_the_same(small, small_columns, seed):
    """Twenty random walls at a time on the small knowledge base."""
    sets = [random_answers(small.base, seed + index) for index in range(20)]
    assert differences(small, small_columns, sets) == []


def test_shipped_rules_give_the_same(full):
    """Some random walls on the shipped rules; the long run is in same_results."""
    sets = [random_answers(full.base, index) for index in range(60)]
    assert differences(full, ColumnEvaluator(full.base), sets) == []


@pytest.mark.parametrize("seed", range(8))
def test_random_rules_give_the_same(tmp_path, seed):
    """Random knowledge bases with every form of condition, forty walls each."""
    triager = Triager(load_knowledge(make_rules(tmp_path, seed)))
    sets = [random_answers(triager.base, index) for index in range(40)]
    assert differences(triager, ColumnEvaluator(triager.base), sets) == []


def test_one_question_under_two_conditions_gives_the_same(tmp_path):
    """Few questions read by many clues: dropping one answer moves several conditions."""
    made = make_rules(tmp_path, 3, questions=6, paths=3, clues=30)
    triager = Triager(load_knowledge(made))
    sets = [random_answers(triager.base, index, 0.8) for index in range(60)]
    assert differences(triager, ColumnEvaluator(triager.base), sets) == []


def test_belief_is_the_same_to_the_last_bit(full, tmp_path):
    """Whoever stands beside it in the batch, a wall's belief is what it is alone."""
    for triager in (full, Triager(load_knowledge(make_rules(tmp_path, 5)))):
        evaluator = ColumnEvaluator(triager.base)
        sets = [random_answers(triager.base, index, 0.6) for index in range(40)]
        batch = evaluator.encode(sets)
        ((_, _, together),) = evaluator.steps(batch)
        for row in range(len(sets)):
            alone = triager.evaluator.evaluate(evaluator.coder.decode(batch, row)).beliefs
            for name in ("low", "high", "ratio", "status", "seen_against"):
                assert np.array_equal(getattr(together, name)[row], getattr(alone, name)[0]), name
            for name, values in together.measures.items():
                assert values[row] == alone.measures[name][0], name


def test_chunks_do_not_show(small, small_columns, monkeypatch):
    """A batch cut into chunks of seven gives what it gives whole."""
    batch = small_columns.encode(random_answers(small.base, index) for index in range(40))
    whole = small_columns.evaluate(batch)
    monkeypatch.setattr(columns, "CHUNK", 7)
    parts = small_columns.evaluate(batch)
    for name in ("verdict", "upper", "path_low", "fired", "referral", "decided_by"):
        assert np.array_equal(getattr(whole, name), getattr(parts, name)), name


def test_no_walls(small_columns):
    """An empty batch has an empty result."""
    assert len(small_columns.evaluate(small_columns.encode([]))) == 0


def test_codes_come_back_as_answers(small):
    """What is encoded is decoded again, words apart."""
    coder = Coder(small.base)
    sets = [random_answers(small.base, index) for index in range(50)]
    batch = joined([coder.encode(sets[:20]), coder.encode(sets[20:])])
    for row, answers in enumerate(sets):
        back = coder.decode(batch, row)
        kept = [(a.value, a.number, a.sure) for a in back.values()]
        assert kept == [(a.value, a.number, a.sure) for a in answers.values()]
        assert list(back) == list(answers)


def test_number_about_the_end_of_a_band(full):
    """It is an answer like any other, and no evidence: in columns as in the engine."""
    columns = ColumnEvaluator(full.base)
    measured = [
        name
        for name in columns.coder.number_column
        if full.base.questions[name].values and full.base.questions[name].entry.kind != "computed"
    ]
    assert measured
    for name in measured:
        least = full.base.questions[name].number(full.base.questions[name].entry.least)
        given = {name: Answer("", least, "about there", "fairly")}
        batch = columns.coder.encode([given])
        assert columns.coder.decode(batch, 0)[name].value == ""
        assert columns.coder.decode(batch, 0)[name].number == least
        assert differences(full, columns, [given]) == []
    word = next(n for n, q in full.base.questions.items() if q.entry.answer == "choice")
    with pytest.raises(ValueError, match=word):
        columns.coder.encode([{word: Answer("")}])


def test_unknown_value_is_refused(small):
    """A value no option has is an error, never a silent zero."""
    with pytest.raises(ValueError, match="'gone' is not an answer to 'wall_below'"):
        Coder(small.base).encode([{"wall_below": Answer("gone")}])


def test_cases_give_one_row_a_wall(small, small_columns):
    """House answers count for every wall of a case."""
    walls = (Wall("a", answers={"wall_below": Answer("wall")}), Wall("b"))
    batch = small_columns.encode_cases([Case(house={"built_of": Answer("brick")}, walls=walls)])
    result = small_columns.evaluate(batch)
    assert [result.fired_rules(row, "scope") for row in (0, 1)] == [["scope_masonry"]] * 2
    assert batch.codes[:, small_columns.coder.column["wall_below"]].tolist() == [4, 0]
    assert [VERDICTS[code] for code in result.verdict] == ["cannot_tell"] * 2


WORKED_OUT = {
    "span_without_wall": {"easily", "easily_if_held", "marginal", "could_not"},
    "measured_span": {"well_within", "in_between", "beyond_all"},
}


def test_computed_answers_are_those_of_one_wall(full):
    """Five hundred walls, distances at and beyond every mark included."""
    draw = random.Random(5)
    asked = sorted(
        {r.question for readings in full.base.measures.inputs.values() for r in readings}
    )
    sets = []
    for seed in range(500):
        given = random_answers(full.base, seed, 0.5)
        for name in draw.sample(asked, len(asked) // 2):
            given[name] = random_answer(full.base.questions[name], draw)
        for name in ("distance_one_side", "distance_other_side"):
            number = draw.choice([0.0, 2.9, 3.0, 6.0, 59.9, 60.0, 90.0, 120.0, 300.0, 301.0, 600.0])
            band = full.base.questions[name].band_of(number)
            given[name] = Answer(band, number, "", draw.choice(SURENESS_IN_FILES))
        if seed % 2:  # half of them know nothing of what holds the joists
            held = ("joists_end_", "overhead_ends_", "opened_ends_", "held_distance_")
            given = {name: a for name, a in given.items() if not name.startswith(held)}
        if not seed % 5:  # and a fifth have measured the joists and seen both supports
            seen = {"joists_end_one_side": "on_next_wall", "joists_end_other_side": "before_it",
                    "joist_size": "two_by_ten", "joist_spacing": "in_16"}  # fmt: skip
            given |= {name: Answer(value, None, "", draw.choice(SURENESS_IN_FILES))
                      for name, value in seen.items()}  # fmt: skip
        for name in WORKED_OUT:
            given.pop(name, None)
        sets.append(given)
    evaluator = ColumnEvaluator(full.base)
    batch = evaluator.encode(sets)
    for name, options in WORKED_OUT.items():
        column, told = evaluator.coder.column[name], set()
        for row, given in enumerate(sets):
            answer = computed.computed_answers(full.base, given).get(name)
            ours = evaluator.coder.decode(batch, row).get(name)
            theirs = answer and (answer.value, answer.sure)
            assert (ours and (ours.value, ours.sure)) == theirs, (name, row)
            told.add(answer and answer.value)
            assert (batch.codes[row, column] == 0) == (answer is None)
        assert told == {None, *options}


@pytest.mark.parametrize(
    ("leaf", "told"),
    [
        (Leaf("weather", "rain"), "'weather'"),
        (Leaf("fact", "any"), "'fact: any'"),
        (Leaf("answer", "built_of", (), "above", 3.0), "'above' of 'built_of'"),
    ],
)
def test_forms_that_columns_cannot_do_are_refused(small, leaf, told):
    """A condition outside the language is an error when the rules are compiled."""
    item = StratifiedRule("scope_masonry", "scope", ((leaf,),), (("scope", "scope_masonry"),))
    with pytest.raises(InputError) as caught:
        ColumnRules([item], Coder(small.base), {}, {})
    (problem,) = caught.value.problems
    assert told in problem.what
    assert problem.path.endswith("scope.yaml")
    assert problem.line > 0


def test_load_path_without_a_sure_base_rate_is_refused(small, tmp_path):
    """Retiring the base rate that always holds leaves walls without a prior."""
    folder = make_rules(tmp_path, 1)
    for path in (folder / "load_paths").glob("*.yaml"):
        head, _, tail = path.read_text().partition("conditions:")
        path.write_text(head.replace("status: reviewed", "status: retired") + "conditions:" + tail)
    with pytest.raises(InputError, match="holds for every wall"):
        ColumnEvaluator(load_knowledge(folder))
