"""A decisive sign takes no guess: its clues count as ever, and "non-bearing" stays out of reach."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.conftest import shipped_rules
from tests.published.test_guidance import CLEAR_WALL
from walltriage.case.model import Case, Wall
from walltriage.inference.engine.strata import GUESSED_SIGN, guessed_name
from walltriage.rule_testing.rule_cases import case_answers

SIGNS = [
    pytest.param(path, sign, given, id=f"{sign.id}-{index}")
    for path, sign in shipped_rules().signs()
    for index, given in enumerate(sign.cases.fires)
]


def guess(answers, *names):
    """The answers, those named given as guesses; all of them when none is named."""
    wanted = names or tuple(answers)
    return {n: replace(a, sure="guess") if n in wanted else a for n, a in answers.items()}


@pytest.mark.parametrize(("path", "sign", "given"), SIGNS)
def test_a_guess_holds_the_sign_back(full, path, sign, given):
    """Certain: the sign bars.  Guessed: the sign is quiet, and its own rule withholds."""
    answers = case_answers(full.base, given)
    certain = full.evaluator.evaluate(answers)
    guessed = full.evaluator.evaluate(guess(answers))
    assert sign.id in certain.paths[path].signs
    assert certain.verdict != "likely_non_bearing"
    assert certain.paths[path].status != "ruled_out"
    assert not certain.fired(GUESSED_SIGN)
    assert sign.id not in guessed.paths[path].signs
    assert guessed_name(sign.id) in {f.rule for f in guessed.fired(GUESSED_SIGN)}
    told = [[r.clue for r in result.paths[path].reports] for result in (certain, guessed)]
    assert told[0] == told[1]


@pytest.mark.parametrize(("path", "sign", "given"), SIGNS)
def test_a_clear_wall_with_a_guessed_sign_is_never_non_bearing(full, path, sign, given):
    """However much else speaks against it, and whichever of its answers is the guess."""
    clear, answers = case_answers(full.base, CLEAR_WALL), case_answers(full.base, given)
    assert full.evaluator.evaluate(clear).verdict == "likely_non_bearing"
    for names in ((), *((name,) for name in answers)):
        result = full.evaluator.evaluate(clear | guess(answers, *names))
        assert result.verdict != "likely_non_bearing"


def test_one_guess_among_sure_answers_is_enough(full):
    """Two answers make this sign; either of them guessed holds it back, and is told."""
    answers = case_answers(
        full.base, {"beam_meets_wall": "along_line", "post_at_wall": "post_or_bump"}
    )
    for name in answers:
        (firing,) = full.evaluator.evaluate(guess(answers, name)).fired(GUESSED_SIGN)
        assert [known.name for known in firing.matched if known.family == "guessed"] == [name]


def test_why_not_tells_the_sign_that_was_only_guessed(full):
    """In the words of the sign itself, and it is the first thing to look at again."""
    given = {"wall_top": {"value": "beam_end", "sure": "guess"}, "above_wall": "only_attic"}
    wall = Wall("w", answers=case_answers(full.base, given))
    finding = full.finding(Case(name="c", walls=(wall,))).walls[0]
    assert finding.verdict == "cannot_tell"
    told = [reason.text for reason in finding.why_not if "Only guessed so far" in reason.text]
    assert told
    assert finding.next_checks[0].question == "wall_top"


@pytest.mark.parametrize(
    ("given", "settled"),
    [
        ({"attic_joists_at_wall": "end_or_lap"}, False),
        ({"opened_joist_end": "end_or_lap"}, True),
        ({"opened_joist_end": {"value": "end_or_lap", "sure": "fairly"}}, False),
        ({"attic_joists_at_wall": "end_or_lap", "props_at_wall": "on_wall"}, False),
        ({"attic_joists_at_wall": "end_or_lap", "beam_meets_wall": "ends_at_wall"}, True),
    ],
    ids=["one look", "an opening", "an opening, less sure", "one place", "two places"],
)
def test_what_settles_a_sign(full, given, settled):
    """One look is evidence; an opening seen for certain, or signs from two places, settle it."""
    result = full.evaluator.evaluate(case_answers(full.base, given))
    assert result.fired("sign")
    assert (result.measures["lower"] >= 0.99) == settled
    assert result.verdict != "likely_non_bearing"
    for state in result.paths.values():
        if state.signs:
            assert state.status != "ruled_out"
            assert state.high >= full.base.guards.thresholds["told_sign_at_least"]
