"""Where an open wall leans: the table's steps, what bars them, and the limits of the table."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from walltriage.case.model import Answer
from walltriage.entries import checked
from walltriage.inference.leaning import leaning_of
from walltriage.knowledge.schema_leaning import LeaningFile

STEPS = [
    {"under": under, "toward": toward, "chance": chance, "says": "Some words.", "work": "Do it."}
    for under, toward, chance in (
        (0.003, "non_bearing", 0.04),
        (0.05, "non_bearing", 0.1),
        (0.3, "none", 0.3),
        (0.6, "bearing", 0.5),
        (1.01, "bearing", 0.7),
    )
]


def table(**changes):
    """A table of leanings with one thing changed."""
    data = {
        "origin": "made up for a test",
        "barred_by": [],
        "steps": STEPS,
        "barred_steps": [{**STEPS[4], "toward": "none"}],
    }
    return checked(LeaningFile, {**data, **changes})


def given(**values):
    """Certain answers."""
    return {name: Answer(value, None, value) for name, value in values.items()}


def test_a_verdict_has_no_leaning(full):
    """Leaning is told of open walls only."""
    result = full.evaluator.evaluate(given(opened_joist_end="end_or_lap"))
    assert result.verdict == "likely_bearing"
    assert leaning_of(full.base, result) is None


def test_nothing_leans_toward_non_bearing_while_a_sign_stands(full):
    """A reported sign bars the leaning, however little the rest speaks for bearing."""
    answers = given(
        above_wall="only_attic",
        attic_frame="trusses",
        truss_plates="plates",
        wall_place="inside",
        wall_against_ridge="across_ridge",
        ridge_props="over_wall",
    )
    result = full.evaluator.evaluate(answers)
    assert result.verdict == "cannot_tell"
    assert any(firing.rule == "gate_any_sign" for firing in result.fired("gate"))
    assert leaning_of(full.base, result).toward != "non_bearing"


def test_nothing_leans_toward_non_bearing_in_a_house_in_trouble(full):
    """Not even where nothing touches the wall's top, and the trouble no longer stops a verdict."""
    low = given(
        wall_place="inside",
        wall_height="stops_short",
        low_part_top="open_air",
        above_wall="only_attic",
        ridge_look="clear_sag",
    )
    low["low_wall_height"] = Answer("under_6", 42.0, "42 in")
    result = full.evaluator.evaluate(low)
    stops = {firing.rule for firing in result.fired("gate")}
    assert result.verdict == "cannot_tell"
    assert "gate_house_in_trouble" not in stops
    assert leaning_of(full.base, result).toward != "non_bearing"
    sound = full.evaluator.evaluate({**low, **given(ridge_look="straight")})
    assert leaning_of(full.base, sound).toward == "non_bearing"


def test_open_wall_takes_its_step(full):
    """The step is that of the middle chance."""
    result = full.evaluator.evaluate({})
    leaning = leaning_of(full.base, result)
    middle = result.measures["middle"]
    gates = {firing.rule for firing in result.fired("gate")}
    assert gates.isdisjoint(full.base.leaning.barred_by)
    step = next(s for s in full.base.leaning.steps if middle < s.under)
    assert leaning.chance == step.chance


def test_a_barred_wall_takes_the_step_of_barred_ones(full):
    """Beside a sign the other table holds."""
    result = full.evaluator.evaluate(given(above_wall="only_attic", ridge_props="over_wall"))
    assert result.verdict == "cannot_tell"
    gates = {firing.rule for firing in result.fired("gate")}
    assert not gates.isdisjoint(full.base.leaning.barred_by)
    middle = result.measures["middle"]
    step = next(s for s in full.base.leaning.barred_steps if middle < s.under)
    assert leaning_of(full.base, result).chance == step.chance


@pytest.mark.parametrize(
    "steps",
    [
        STEPS[:4],
        [*STEPS[:4], {**STEPS[4], "under": 0.9}],
        [{**STEPS[0], "chance": 0.02}, *STEPS[1:]],
        [STEPS[1], STEPS[0], *STEPS[2:]],
    ],
    ids=["too few", "walls without a step", "under 1 in 30", "falling"],
)
def test_tables_that_promise_too_much_are_refused(steps):
    """At least five rising steps for every wall, none toward non-bearing under 1 in 30."""
    with pytest.raises(ValidationError):
        table(steps=steps)


def test_what_is_barred_never_leans_toward_non_bearing():
    """Not even by a table that somebody writes."""
    with pytest.raises(ValidationError):
        table(barred_steps=[{**STEPS[4], "toward": "non_bearing"}])
