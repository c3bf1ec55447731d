"""Published statements on what shows what: each has a rule that says so, and no more strongly."""

from __future__ import annotations

from typing import Any

import pytest

from tests.published.knowledge import (
    NON_BEARING,
    clue_weights,
    evaluate,
    evaluator,
    fired,
    rate_interval,
    read,
)
from walltriage.knowledge.schema import Sign

STATEMENTS: dict[str, dict[str, Any]] = read("guidance.yaml")["statements"]
MAPPED = {name: one for name, one in STATEMENTS.items() if "left_out" not in one}
# The most decibans a single answer may weigh, by the word of the source.
MOST = {"always": 13.0, "usually": 10.0, "often": 7.0, "may": 4.0, "never conclude": 4.0}
NEUTRAL = 4.0  # a source that says "no information" allows a hint about something else only
BOTH_WAYS = ("no_information", "dangerous_to_conclude")
CODE = "code"
FEWEST, NUMBER = 215, 230  # statements that must be mapped, and all


def checks(*kinds: str) -> list[Any]:
    return [
        pytest.param(statement, check, id=f"{name}-{index}")
        for name, statement in MAPPED.items()
        for index, check in enumerate(statement["checks"])
        if check["by"] in kinds
    ]


def limit(statement: dict[str, Any]) -> float:
    return NEUTRAL if statement["says"] == "no_information" else MOST[statement["strength"]]


@pytest.mark.parametrize(("statement", "check"), checks("clue"))
def test_a_clue_points_the_way_the_source_says_and_no_more_strongly(
    statement: dict[str, Any], check: dict[str, Any]
) -> None:
    weights = clue_weights(check["rule"], check["answers"])
    assert weights, "the answers do not reach the clue"
    for weight in weights:
        if statement["says"] in ("bears", "hint_bears"):
            assert weight > 0
        elif statement["says"] in ("does_not_bear", "hint_does_not_bear"):
            assert weight < 0
        assert abs(weight) <= limit(statement)


@pytest.mark.parametrize(("statement", "check"), checks("sign"))
def test_only_always_or_a_code_makes_a_decisive_sign(
    statement: dict[str, Any], check: dict[str, Any]
) -> None:
    known = evaluator()
    sign = next(sign for _, sign in known.base.signs() if sign.id == check["rule"])
    assert isinstance(sign, Sign)
    assert sign.id in fired(check["answers"])
    assert evaluate(check["answers"]).verdict == "likely_bearing"
    strong = statement["strength"] == "always" or statement["kind"] == CODE
    assert strong != ("stronger_because" in check), "a weaker word needs its reason, a strong none"
    assert statement["says"] != "no_information"


@pytest.mark.parametrize(("statement", "check"), checks("base_rate"))
def test_a_base_rate_leans_the_way_the_source_says(
    statement: dict[str, Any], check: dict[str, Any]
) -> None:
    path = next(p for p, rate in evaluator().base.base_rates() if rate.id == check["rule"])
    name, low, high = rate_interval(path, check["answers"])
    other, low_against, high_against = rate_interval(path, check["against"])
    assert name == check["rule"] != other
    if statement["says"] in ("bears", "hint_bears"):
        assert low > low_against
        assert high > high_against
    else:
        assert high < high_against
    assert evaluate(check["answers"]).verdict == "cannot_tell"


@pytest.mark.parametrize(
    ("statement", "check"),
    checks("gate", "scope", "caution", "contradiction", "fact", "referral"),
)
def test_a_guard_or_warning_stands_for_the_statement(
    statement: dict[str, Any], check: dict[str, Any]
) -> None:
    answers = dict(check["answers"])
    if answers.pop("_case", None):
        answers = dict(NON_BEARING)
        assert evaluate(answers).verdict == "likely_non_bearing"
    assert check["rule"] in fired(answers)
    if check["by"] in ("gate", "scope"):
        assert evaluate(answers).verdict != "likely_non_bearing"


@pytest.mark.parametrize(("statement", "check"), checks("no_verdict"))
def test_what_must_not_be_concluded_is_not(
    statement: dict[str, Any], check: dict[str, Any]
) -> None:
    assert evaluate(check["answers"]).verdict == "cannot_tell"


@pytest.mark.parametrize(("statement", "check"), checks("not_asked"))
def test_what_misleads_is_not_asked(statement: dict[str, Any], check: dict[str, Any]) -> None:
    for question in evaluator().base.questions.values():
        text = f"{question.entry.ask} {question.entry.look}".lower()
        assert not any(word in text for word in check["words"]), question.id


@pytest.mark.parametrize("name", sorted(MAPPED))
def test_the_observation_alone_never_makes_a_wall_non_bearing(name: str) -> None:
    for check in MAPPED[name]["checks"]:
        answers = check.get("answers")
        if answers and "_case" not in answers:
            assert evaluate(answers).verdict != "likely_non_bearing"


@pytest.mark.parametrize(
    "name", sorted(n for n, s in MAPPED.items() if s["strength"] == "never conclude")
)
def test_never_conclude_has_a_check_of_the_verdict(name: str) -> None:
    kinds = {check["by"] for check in MAPPED[name]["checks"]}
    assert kinds & {"no_verdict", "not_asked", "sign", "gate", "scope"}


@pytest.mark.parametrize("name", sorted(n for n, s in MAPPED.items() if "disagrees_with" in s))
def test_where_sources_disagree_a_rule_says_so(name: str) -> None:
    """In the limits or the words of the rules that answer to either side."""
    known = evaluator()
    rules = {rule.id: rule for _, rule in known.base.rules()}
    conditions = {
        clue.id: path.conditions[condition][0]
        for path in known.base.paths.values()
        for condition, clues in path.clues.items()
        for clue in clues
    }
    told = []
    for other in (name, *MAPPED[name]["disagrees_with"]):
        for check in STATEMENTS[other].get("checks", ()):
            if check["by"] in ("no_verdict", "not_asked"):
                return  # nothing is concluded: both sides are served
            rule = rules[check["rule"]]
            told += [rule.says, *rule.limits]
            if rule.id in conditions:
                told += conditions[rule.id].limits
    assert any("disagree" in text.lower() for text in told)


def test_every_statement_is_here_and_left_out_ones_have_reasons() -> None:
    assert len(STATEMENTS) == NUMBER
    assert len(MAPPED) >= FEWEST
    for name, statement in STATEMENTS.items():
        if "left_out" in statement:
            assert len(statement["left_out"]) > 20, name
        else:
            assert statement["checks"], name
        assert set(statement.get("disagrees_with", ())) <= set(STATEMENTS)
