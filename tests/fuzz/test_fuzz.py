"""A short run with a fixed seed, every input that ever broke something, and nearly right cases."""

from __future__ import annotations

import json
import shutil
import time

import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.fuzz.run import Found, feed, run
from tests.fuzz.targets import CHECKED_CASE, GLANCES, SMALL, TARGETS, Target, base, judge, placed
from walltriage.bulk.blocks import tasks
from walltriage.case.read import read_case
from walltriage.cli import main
from walltriage.errors import Problem
from walltriage.knowledge import rule_cache
from walltriage.knowledge.load import load_knowledge

BY_NAME = {target.name: target for target in TARGETS}
SAID = ("guess", "fairly", "checked")
INPUTS = 3000  # some fifteen seconds of processor time

scalars = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=20),
    st.sampled_from(["unknown", "guess", "12 ft 6 in", "1/0", "9" * 200, "🙂", "\u202e", "\ud800"]),
)  # fmt: skip
anything = st.recursive(
    scalars,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner),
    max_leaves=12,
)


steps = st.sampled_from(
    ["w1/above_wall", "w1/joists_end@round", "w1/wall_below@round", "house/x@", "@", "w9/x@y"]
)


def nearly(value):
    """Mostly what belongs here, now and then anything at all."""
    return st.integers(0, 9).flatmap(lambda roll: anything if roll == 0 else value)


@st.composite
def cases(draw):
    """A case of the small rules with a few things wrong."""
    questions = base().questions

    def answers(scope):
        names = [name for name, question in questions.items() if question.scope == scope]
        values = [value for name in names for value in questions[name].values]
        value = nearly(st.sampled_from([*values, "unknown", "8 ft"]) | scalars)
        more = st.fixed_dictionaries(
            {"value": value},
            optional={"sure": nearly(st.sampled_from(SAID)), "note": scalars},
        )
        return st.dictionaries(st.sampled_from([*names, "no_such"]), value | more, max_size=5)

    wall = st.fixed_dictionaries(
        {"id": nearly(st.sampled_from(["w1", "w2", "w 3"]))},
        optional={"name": scalars, "answers": nearly(answers("wall"))},
    )
    return draw(
        st.fixed_dictionaries(
            {
                "schema": nearly(st.just("walltriage/case/1")),
                "walls": nearly(st.lists(wall, max_size=3)),
            },
            optional={
                "name": scalars,
                "reach": nearly(st.integers(0, 4)),
                "units": nearly(st.sampled_from(["ft", "mm"])),
                "house": nearly(answers("house")),
                "asked": nearly(st.lists(steps, max_size=3)),
                "to_name": nearly(st.lists(steps, max_size=3)),
                "client": nearly(st.dictionaries(st.just("client_name"), scalars)),
                "plan": anything,
                "drawing": anything,
                "outcome": anything,
            },
        )
    )


@pytest.mark.parametrize("name", ["case", "transcript", "jsonl"])
@given(case=cases())
@settings(
    max_examples=60, derandomize=True, deadline=None, database=None,
    suppress_health_check=list(HealthCheck),
)  # fmt: skip
def test_nearly_right_cases(tmp_path_factory, name, case):
    """Whatever stands where, it is judged or refused with its place."""
    found = Found()
    feed(BY_NAME[name], tmp_path_factory.getbasetemp(), json.dumps(case).encode(), found)
    assert [what for _, _, what in found.broken] == []


def test_a_short_run():
    """Every kept input, then mutations of all of them, always the same ones."""
    found = run(1, lambda found: found.total < INPUTS)
    assert set(found.inputs) == set(BY_NAME)
    assert [(name, data[:200], what) for name, data, what in found.broken] == []


def test_the_watch_sees_what_it_is_for(tmp_path, monkeypatch):
    """An exception, a refusal without a place, a slow and a large input are each found."""
    found = Found()
    feed(BY_NAME["case"], tmp_path / "no such folder", b"", found)

    def slow(*_):
        until = time.process_time() + 0.02
        while time.process_time() < until:
            pass

    def nowhere(folder, _):
        (folder / "c.yaml").write_text("x")
        placed([Problem(str(folder / "c.yaml"), 0, 0, "wrong", "right")])

    def large(*_):
        bytearray(b"x") * (310 << 20)

    for does in (large, nowhere, slow):
        feed(Target("case", does, tuple, 1), tmp_path, b"", found)
        monkeypatch.setattr("tests.fuzz.run.MOST_SECONDS", 0.01)
    whats = [what for _, _, what in found.broken]
    assert "FileNotFoundError" in whats[0]
    assert whats[1].endswith("MB more")
    assert "a refusal without a place" in whats[2]
    assert whats[3].endswith(" s")


def test_kept_rules_are_read_before_they_are_spoiled(tmp_path):
    """Else the fuzzer would only ever see them refused."""
    target = BY_NAME["kept rules"]
    (*_, whole) = target.seeds()
    target.feed(tmp_path, whole)
    assert rule_cache.read(tmp_path, "k", SMALL) is not None


@pytest.mark.parametrize("name", ["case", "transcript"])
def test_cases_are_read_before_they_are_spoiled(tmp_path, name):
    """Else nothing behind the reader would ever see what was spoiled a little."""
    path = tmp_path / "c.yaml"
    for data in BY_NAME[name].seeds():
        path.write_bytes(data)
        assert read_case(path, base().questions).walls


def test_records_are_judged_before_they_are_spoiled(tmp_path):
    for suffix in ("csv", "jsonl"):
        for data in BY_NAME[suffix].seeds():
            path = tmp_path / f"c.{suffix}"
            path.write_bytes(data)
            outcomes = [judge()(task) for task in tasks([path])]
            assert any(outcome.rows for outcome in outcomes)
            assert [problem for outcome in outcomes for problem in outcome.problems] == []


def test_pages_and_checked_answers_are_read_before_they_are_spoiled(tmp_path):
    path = tmp_path / "c.yaml"
    path.write_bytes(CHECKED_CASE)
    case = read_case(path, base().questions)
    assert len(case.to_name) == 2
    assert {step.glance for step in case.asked} == {"frame", "round"}
    name, _, content = GLANCES.partition(b"\n")
    rules = tmp_path / "rules"
    shutil.copytree(SMALL, rules)
    (rules / name.decode()).write_bytes(content)
    assert [glance.id for glance in load_knowledge(rules).glances] == ["round"]


def test_commands_answer_before_they_are_spoiled():
    for data in BY_NAME["command"].seeds():
        words = data.decode().split("\n")
        more = ["--rules", str(SMALL)] if words[0] == "rules" else []
        assert CliRunner().invoke(main, words + more).exit_code == 0, words
