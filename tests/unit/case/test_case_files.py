"""Case files: what is accepted, what is refused and how."""

from __future__ import annotations

import stat

import pytest
from hypothesis import given, settings

from tests.inference.answer_sets import SEEDS, random_answers
from walltriage.case.model import Answer, Case, Step, Wall
from walltriage.case.read import parse_case, read_case
from walltriage.case.write import case_text, write_case
from walltriage.errors import InputError
from walltriage.files import write_text

HEAD = "schema: walltriage/case/1\nwalls:\n- id: w1\n  answers:\n"


def refused(small, text: str) -> list[str]:
    """The problems of a case text."""
    with pytest.raises(InputError) as caught:
        parse_case(text, "c.yaml", small.base.questions)
    return [str(problem) for problem in caught.value.problems]


def test_answers_in_every_form(small):
    """Bare values, detailed ones, both kinds of no answer, and lengths in any unit."""
    case = parse_case(
        HEAD
        + "    above_wall: attic\n"
        + "    joists_run: {value: along, sure: guess, by: agent, seen_on: 2026-03-01, note: x}\n"
        + "    joists_end: unknown\n    wall_below: out_of_reach\n    wall_length: 3.81 m\n",
        "c.yaml",
        small.base.questions,
    )
    answers = case.wall("w1").answers
    assert answers["joists_run"] == Answer(
        "along", None, "along", "guess", "agent", "2026-03-01", "x"
    )
    assert not answers["joists_end"].is_real
    assert not answers["wall_below"].is_real
    assert answers["wall_length"].number == pytest.approx(150)
    assert answers["wall_length"].value == "long"


def test_json_is_read_too(small):
    """A case may be JSON."""
    wall = '{"id": "w1", "answers": {"above_wall": "room"}}'
    text = f'{{"schema": "walltriage/case/1", "walls": [{wall}]}}'
    case = parse_case(text, "c.json", small.base.questions)
    assert case.wall("w1").answers["above_wall"].value == "room"


@pytest.mark.parametrize("unit", ["ft", "in", "m", "cm", "mm"])
def test_bare_numbers_take_the_units_of_the_file(small, unit):
    """``units`` says what a bare number means."""
    bare = {"ft": 10, "in": 120, "m": 3.048, "cm": 304.8, "mm": 3048}[unit]
    text = f"units: {unit}\n{HEAD}    wall_length: {bare}\n"
    case = parse_case(text, "c.yaml", small.base.questions)
    assert case.wall("w1").answers["wall_length"].number == pytest.approx(120)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (HEAD + "    joist_run: along\n",
         "c.yaml:5:5: unknown question 'joist_run' (did you mean 'joists_run'?); "
         "see 'walltriage rules show'"),
        (HEAD + "    joists_run: sideways\n",
         "c.yaml:5:5: 'sideways' is not an answer to 'joists_run'; "
         "expected one of along, across, unknown, out_of_reach"),
        (HEAD + "    joists_run: [along]\n",
         "c.yaml:5:5: '['along']' is not an answer to 'joists_run' (did you mean 'along'?); "
         "expected one of along, across, unknown, out_of_reach"),
        (HEAD + "    joists_run: {value: along, sure: very}\n",
         "c.yaml:5:32: 'very' is not allowed for 'sure'; "
         "expected certain, fairly, guess, confirmed"),
        (HEAD + "    joists_run: {sure: guess}\n",
         "c.yaml:5:5: 'joists_run' has no value; expected 'value: ...'"),
        (HEAD + "    wall_length: 12 lb\n",
         "c.yaml:5:5: 'wall_length': '12 lb' is not a length; expected a length such as "
         "12 ft 6 in, 12'-6\", 12.5 ft, 3.81 m or 381 cm; from 1 ft to 100 ft"),
        (HEAD + "    wall_length: 900 ft\n",
         "c.yaml:5:5: 'wall_length': '900 ft' is out of range; expected 1 ft to 100 ft"),
        ("schema: walltriage/case/2\n",
         "c.yaml:1:1: schema is 'walltriage/case/2'; expected 'schema: walltriage/case/1'"),
        ("walls: []\n", "c.yaml:1:1: no schema; expected 'schema: walltriage/case/1'"),
        ("- 1\n", "c.yaml:1:1: not a case; expected 'schema: walltriage/case/1' and the answers"),
        ("", "c.yaml:1:1: not a case; expected 'schema: walltriage/case/1' and the answers"),
        ("schema: walltriage/case/1\nunits: yards\n",
         "c.yaml:2:1: 'yards' is not allowed for 'units'; expected ft, in, m, cm, mm"),
        ("schema: walltriage/case/1\nhouse: {above_wall: attic}\n",
         "c.yaml:2:9: 'above_wall' is asked once for the wall; under a wall's 'answers'"),
        ("schema: walltriage/case/1\nwalls: [{id: 'a b'}]\n",
         "c.yaml:2:10: 'a b' is not a wall id; letters, digits, - and _, 40 at most; not 'house'"),
        ("schema: walltriage/case/1\nwalls: [{id: a}, {id: a}]\n",
         "c.yaml:2:19: duplicate wall 'a'; one entry each"),
        ("schema: walltriage/case/1\nwall: []\n",
         "c.yaml:2:1: unknown key 'wall' (did you mean 'walls'?); expected schema, name, story, "
         "for, reach, units, client, plan, house, walls, asked, to_name, drawing, outcome"),
        ("schema: walltriage/case/1\nasked: [w9/above_wall]\n",
         "c.yaml:2:9: 'w9/above_wall' names no wall of this case"),
    ],
)  # fmt: skip
def test_refused_with_place_and_remedy(small, text, message):
    """Each mistake is told once, where it stands, with what was expected."""
    assert refused(small, text) == [message]


def test_every_mistake_of_a_file_is_told(small):
    """One run shows all of them."""
    text = HEAD + "    joist_run: along\n    joists_end: nope\n    wall_length: 0 ft\n"
    assert len(refused(small, text)) == 3


def test_a_mistake_hides_no_other(small):
    """Keys, plan, looks and answers are checked beside each other, and entry by entry."""
    text = (
        "schema: walltriage/case/1\nreach: true\nplan:\n  levels: [a]\n  parts: [{id: m}]\n"
        "  walls:\n  - {along: north, level: a}\n  - {along: front, level: b}\n"
        "walls:\n- id: w1\n  answers: {joist_run: along}\n  looks:\n    zero_end: the door\n"
        "    seen:\n    - {place: roof}\n    - {place: attic, whole: true}\n"
    )
    places = sorted(problem.split()[0] for problem in refused(small, text))
    assert places == sorted(
        f"c.yaml:{place}:" for place in ("2:1", "11:13", "15:8", "16:7", "7:6", "8:20")
    )


@settings(max_examples=60, deadline=None)
@given(seed=SEEDS)
def test_written_cases_read_back(small, seed):
    """Whatever is written is read again as it was."""
    wall = Wall("w1", "the [wall] \x1b :key: \u202e", random_answers(small.base, seed))
    asked = tuple(Step("w1", question) for question in wall.answers)
    case = Case("a name: with # marks", {}, (wall,), asked=asked, story="line\nline", role="firm")
    again = parse_case(case_text(case), "c.yaml", small.base.questions)
    assert again.name == case.name
    assert again.asked == case.asked
    assert again.wall("w1").name == wall.name
    for question, answer in again.wall("w1").answers.items():
        assert (answer.value, answer.sure) == (
            wall.answers[question].value,
            wall.answers[question].sure,
        )


def test_files_are_private_and_replaced_whole(small, tmp_path):
    """A written file is readable by its owner alone, and no scrap is left beside it."""
    path = tmp_path / "case.yaml"
    case = Case("x", {}, (Wall("w1"),))
    write_case(path, case)
    write_case(path, case)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert [p.name for p in tmp_path.iterdir()] == ["case.yaml"]
    assert read_case(path, small.base.questions).walls == (Wall("w1"),)


def test_a_failed_write_keeps_the_old_file(tmp_path):
    """When the folder is gone nothing is lost and the reason is told."""
    with pytest.raises(InputError, match="cannot be written: no such file"):
        write_text(tmp_path / "none" / "case.yaml", "text")


def test_checked_in_a_file_counts_as_certain(small):
    """Only the desk knows who checked an answer; a file's word for it is the surest other one."""
    text = (
        "schema: walltriage/case/1\nwalls:\n- id: w1\n  answers:\n"
        "    joists_run: {value: along, sure: checked, by: checked by somebody}\n"
    )
    case = parse_case(text, "c.yaml", small.base.questions)
    assert case.wall("w1").answers["joists_run"].sure == "certain"
