"""Scenario files: what they may hold, what is told of a bad one, what a failure prints."""

from __future__ import annotations

import pytest

from tests.conftest import HERE
from walltriage.errors import InputError
from walltriage.rule_testing.scenario_files import read_scenarios
from walltriage.rule_testing.scenarios import failures

GOOD = """\
- name: one
  story: boards stop on it
  answers: {joists_end: some_end}
  expect: {verdict: likely_bearing, fires: [sign_joists_end]}
  near_misses:
    - change: {joists_end: unknown}
      because: nobody knows
      expect: {verdict: cannot_tell}
"""
MISTAKES = {
    "- name: one": ("{}\n", "1:1: not a list of scenarios; expected '- name: ...' for each"),
    "  story:": ("  storry: x\n  story:", "2:3: unknown key 'storry' (did you mean 'story'?)"),
    "  story: boards stop on it\n": ("", "1:3: missing key 'story'; expected it beside the others"),
    "{joists_end: some_end}\n": (
        "{joists_end: somee_end}\n",
        "3:13: 'somee_end' is not an answer to 'joists_end' (did you mean 'some_end'?)",
    ),
    "answers: {joists_end": (
        "house: {joists_end: some_end}\n  answers: {joists_end",
        "3:11: 'joists_end' is asked once for the wall; under a wall's 'answers'",
    ),
    "verdict: likely_bearing": (
        "verdict: likely_baring",
        "4:12: unknown verdict 'likely_baring' (did you mean 'likely_bearing'?)",
    ),
    "[sign_joists_end]": (
        "[sign_joist_end]",
        "4:45: unknown rule 'sign_joist_end' (did you mean 'sign_joists_end'?)",
    ),
    "fires: [sign_joists_end]": ("fires: sign_joists_end", "4:37: 'fires' is not a list"),
    "expect: {verdict: cannot_tell}": ("expect: {}", "8:7: expects nothing; expected some of"),
    "{verdict: cannot_tell}": (
        "{paths: {framing_above: opened}}",
        "8:24: unknown status 'opened' (did you mean 'open'?)",
    ),
    "change: {joists_end: unknown}": (
        "change: {joists_end: unknown, joists_run: along}",
        "6:7: not one changed answer; expected {question: answer}",
    ),
    "{joists_end: unknown}": ("{joist_end: unknown}", "6:16: unknown question 'joist_end'"),
    "joists_end: unknown": (
        "joists_end: some_end",
        "6:16: changes nothing; expected another answer",
    ),
    "near_misses:\n    - change": ("near_misses:\n      change", "5:3: not a list; expected"),
}


def read(tmp_path, small, text):
    """The scenarios of one file."""
    (tmp_path / "a.yaml").write_text(text, encoding="utf-8")
    return read_scenarios(tmp_path, small.base)


def test_a_good_file(tmp_path, small):
    """A near miss carries all answers of its scenario, one of them changed."""
    (scenario,) = read(tmp_path, small, GOOD)
    (miss,) = scenario.near_misses
    assert scenario.case.answers_for("wall")["joists_end"].value == "some_end"
    assert miss.case.answers_for("wall")["joists_end"].value == "unknown"
    assert failures(small, scenario) == []


@pytest.mark.parametrize("was", MISTAKES, ids=lambda was: was.strip()[:30])
def test_a_mistake_is_told_at_its_place(was, tmp_path, small):
    """Bad scenario files get path:line:column messages."""
    now, message = MISTAKES[was]
    text = now if now == "{}\n" else GOOD.replace(was, now, 1)
    with pytest.raises(InputError) as raised:
        read(tmp_path, small, text)
    assert str(raised.value.problems[0]).startswith(f"{tmp_path / 'a.yaml'}:{message}")


def test_a_name_twice(tmp_path, small):
    """Two scenarios of one name are told apart by their places."""
    with pytest.raises(InputError, match=r"a.yaml:9:3: the name 'one' is taken; first at .*:1:3"):
        read(tmp_path, small, GOOD + GOOD)


def test_no_folder(tmp_path, small):
    """A folder that is not there is named."""
    with pytest.raises(InputError, match="no such folder; expected scenario files"):
        read_scenarios(tmp_path / "none", small.base)


def test_a_failure_prints_the_trace(tmp_path, small):
    """What was expected, what came out, and every rule that fired."""
    text = GOOD.replace("{verdict: likely_bearing, fires: [sign_joists_end]}", (
        "{verdict: cannot_tell, fires: [clue_wall_below], not_fires: [gate_sign],"
        " paths: {framing_above: open}}"
    ))  # fmt: skip
    (scenario,) = read(tmp_path, small, text)
    (problem,) = failures(small, scenario)
    assert problem.what == (
        "'one': verdict likely_bearing, not cannot_tell; clue_wall_below does not fire; "
        "gate_sign fires; framing_above is established, not open"
    )
    assert "sign_joists_end" in problem.expected
    assert problem.expected.startswith("it gave: verdict likely_bearing; framing_above establ")


def test_a_near_miss_must_change_something(tmp_path, small):
    """A near miss whose expectation held before proves nothing and is refused."""
    text = GOOD.replace("because: nobody knows\n      expect: {verdict: cannot_tell}", (
        "because: nobody knows\n      expect: {not_fires: [clue_wall_below]}"
    ))  # fmt: skip
    (scenario,) = read(tmp_path, small, text)
    (problem,) = failures(small, scenario)
    assert "all it expects holds without the change too" in problem.what


def test_the_small_scenarios_are_read(small):
    """The folder that proves the runner holds scenarios and near misses."""
    scenarios = read_scenarios(HERE / "small_scenarios", small.base)
    assert len(scenarios) == 3
    assert sum(len(scenario.near_misses) for scenario in scenarios) == 5
