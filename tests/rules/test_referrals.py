"""The same answers give the same referral, told question by question or all at once in a file.

Somebody who answers every question as a scenario does is interviewed about each scenario and each
near miss.  What was said is then read as a file by the other of the two engines.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest

from tests.rules.test_scenarios import FOLDERS
from walltriage.case.model import HOUSE, UNKNOWN, Answer, Case
from walltriage.inference.explain import LEVELS, referral
from walltriage.inference.finding import Referral
from walltriage.inference.looks.trouble import danger
from walltriage.inference.triage import Triager
from walltriage.lab.interviews import Held, Interviewer
from walltriage.rule_testing.scenario_files import read_scenarios
from walltriage.rule_testing.scenarios import WALL

pytestmark = pytest.mark.slow  # some eight hundred interviews

NOBODY_KNOWS = Answer(UNKNOWN, None, UNKNOWN)
DENIED = "none_of_these"


@dataclass(frozen=True, slots=True)
class Teller:
    """Knows what a case says, and nothing else; goes everywhere, as a firm does."""

    case: Case
    kind: str = "perfect"
    reach: int = 4

    def answer(self, question, _column: int) -> Answer:
        """What the case says to a question."""
        return self.case.answers_for(WALL).get(question.id, NOBODY_KNOWS)


def referred(full: Triager, case: Case) -> Referral:
    """The referral of a case's wall."""
    return referral(full.evaluator, full.evaluate(case, WALL))


def only(full: Triager, case: Case, given: dict[str, Answer]) -> Case:
    """The case with nothing but the answers given."""
    house = {n: a for n, a in given.items() if full.base.questions[n].scope == HOUSE}
    own = {n: a for n, a in given.items() if n not in house}
    return replace(case, house=house, walls=(replace(case.wall(WALL), answers=own),))


@pytest.fixture(scope="module")
def interviewer(full) -> Interviewer:
    return Interviewer(full.base)


@pytest.fixture(scope="module")
def cases(full) -> list[Case]:
    """Every scenario and near miss that is told by its answers alone."""
    scenarios = read_scenarios(FOLDERS["full"], full.base)
    every = [c for s in scenarios for c in (s.case, *(miss.case for miss in s.near_misses))]
    return [case for case in every if case.wall(WALL).looks is None and case.plan is None]


@pytest.fixture(scope="module")
def held(interviewer, cases) -> Held:
    """An interview about each case."""
    tellers = [Teller(case) for case in cases]
    return interviewer.interviews(tellers, "planner", np.random.default_rng(0))


@pytest.fixture(scope="module")
def by_file(full, cases, held) -> list[Referral]:
    """The referral of what was said in each interview, as a file."""
    return [referred(full, only(full, c, g)) for c, g in zip(cases, held.given, strict=True)]


def test_the_same_answers_give_the_same_referral(full, interviewer, cases, held, by_file):
    """All interviews in columns against one file after another."""
    rules = {rule.id: at for at, rule in enumerate(interviewer.evaluator.stratified)}
    fired = interviewer.evaluator.evaluate(held.batch).fired
    levels = {rule.id: rule.level for rule in full.base.cautions.referrals}
    levels |= {guard.id: "strong" for guard in full.base.scope}
    differ = []
    for row, (case, told) in enumerate(zip(cases, by_file, strict=True)):
        here = [level for name, level in levels.items() if fired[row, rules[name]]]
        level = max(here, key=LEVELS.index, default="strong")
        if level != told.level:
            differ.append(f"{case.name}: {level} by interview, {told.level} by file")
    assert len(cases) > 700
    assert {told.level for told in by_file} == {"advised", "strong", "urgent"}
    assert not differ, "\n".join(differ)


def test_a_house_in_trouble_is_urgent_after_every_interview(full, cases, by_file):
    """Whatever the verdict, and wherever the interview ended: all that the list of signs of
    trouble asks for is asked, so that what the file calls urgent by it the interview does too.

    Whoever denies the whole list is not asked about its things one by one.
    """
    lists, asked = danger(full.worth)
    missed, urgent = [], 0
    for case, told in zip(cases, by_file, strict=True):
        answers = case.answers_for(WALL)
        if any(name in answers and answers[name].value == DENIED for name in lists):
            continue
        signs = {name: answers[name] for name in asked if name in answers}
        if referred(full, only(full, case, signs)).level == "urgent":
            urgent += 1
            if told.level != "urgent":
                missed.append(case.name)
    assert urgent >= 5
    assert not missed, "\n".join(missed)


def without_a_slip(full: Triager, case: Case) -> set[str]:
    """The levels of referral of a case, were one answer not given with which it trips over itself.

    That is an answer to a question which the other answers shut out, or one of two that cannot both
    be true.  Nobody is put the former, and whoever has given the one of the latter is not asked the
    same thing another way to catch a slip.
    """
    result, answers = full.evaluate(case, WALL), case.answers_for(WALL)
    clashes = {firing.rule for firing in result.fired("contradiction")}
    shut_out = answers.keys() - full.evaluator.applicable(result)
    clashing = {
        name
        for rule in full.base.contradictions
        if rule.id in clashes
        for name in rule.questions
        if name in answers
    }
    return {
        referred(full, only(full, case, {n: a for n, a in answers.items() if n != name})).level
        for name in shut_out | clashing
    }


def test_no_interview_refers_more_weakly_than_the_file(full, cases, by_file):
    """Before "likely non-bearing" is said, all was asked that could take it back; and whatever the
    verdict, all that makes a referral urgent."""
    weaker, stronger = [], 0
    for case, told in zip(cases, by_file, strict=True):
        by_all = referred(full, case)
        stronger += by_all.level != "advised"
        if LEVELS.index(told.level) >= LEVELS.index(by_all.level):
            continue
        if told.level not in without_a_slip(full, case):
            weaker.append(f"{case.name}: {told.level} by interview, {by_all.level} by file")
    assert stronger > 600
    assert not weaker, "\n".join(weaker)


def test_nothing_is_urgent_that_the_file_does_not_call_so(full, cases, by_file):
    """Fewer answers never make an alarm."""
    wrong = [
        case.name
        for case, told in zip(cases, by_file, strict=True)
        if told.level == "urgent" and referred(full, case).level != "urgent"
    ]
    assert not wrong, "\n".join(wrong)
