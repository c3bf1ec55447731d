"""Answers under ids of earlier editions: renamed, merged and split questions, renamed options."""

from __future__ import annotations

import shutil

import pytest

from tests.conftest import SMALL_RULES
from walltriage.case.earlier_ids import answers_now
from walltriage.case.model import Step
from walltriage.case.read import parse_case
from walltriage.errors import InputError
from walltriage.knowledge.load import load_knowledge

WAS = {
    # renamed, with an option that had another id; and merged with a second question
    "joists_end": "{question: boards_stop, options: {none: none_end}}, {question: boards_lap}",
    # a split: one question of before is two now
    "joists_run": "{question: boards, options: {lengthwise: along}}",
    "above_wall": "{question: boards, options: {none_but_attic: attic}}",
    # the same question, an option of another id
    "wall_below": "{question: wall_below, options: {bare: nothing}}",
    "wall_length": "{question: how_long}",
}


@pytest.fixture(scope="module")
def questions(tmp_path_factory):
    """The small rules, with earlier ids."""
    folder = tmp_path_factory.mktemp("rules") / "rules"
    shutil.copytree(SMALL_RULES, folder)
    path = folder / "questions" / "all.yaml"
    text = path.read_text(encoding="utf-8")
    for name, was in WAS.items():
        text = text.replace(f"  - id: {name}\n", f"  - id: {name}\n    was: [{was}]\n")
    path.write_text(text, encoding="utf-8")
    return load_knowledge(folder).questions


def read(questions, answers: str, asked: str = "[]"):
    text = f"schema: walltriage/case/1\nwalls: [{{id: w1, answers: {{{answers}}}}}]\nasked: {asked}"
    return parse_case(text, "c.yaml", questions)


def told(questions, answers: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        read(questions, answers)
    return [str(problem) for problem in caught.value]


@pytest.mark.parametrize(
    ("given", "meant"),
    [
        ("boards_stop: none", {"joists_end": "none_end"}),
        ("boards_stop: {value: some_end, sure: guess}", {"joists_end": "some_end"}),
        ("boards_lap: some_end", {"joists_end": "some_end"}),
        ("boards_stop: unknown, boards_lap: some_end", {"joists_end": "some_end"}),
        ("boards_stop: some_end, boards_lap: some_end", {"joists_end": "some_end"}),
        ("boards: lengthwise", {"joists_run": "along"}),
        ("boards: across", {"joists_run": "across"}),
        ("boards: none_but_attic", {"above_wall": "attic"}),
        ("boards: out_of_reach", {"joists_run": "out_of_reach", "above_wall": "out_of_reach"}),
        ("wall_below: bare", {"wall_below": "nothing"}),
        ("wall_below: wall", {"wall_below": "wall"}),
        ("how_long: 5 ft", {"wall_length": "long"}),
    ],
)
def test_old_answers_are_read_as_new_ones(questions, given, meant):
    """Under the ids of today, with the options of today."""
    answers = read(questions, given).walls[0].answers
    assert {name: answer.value for name, answer in answers.items()} == meant


def test_how_sure_somebody_was_is_kept(questions):
    """All that stands beside an answer goes with it."""
    (answer,) = (
        read(questions, "boards_stop: {value: none, sure: guess, by: x}").walls[0].answers.values()
    )
    assert (answer.sure, answer.by, answer.given) == ("guess", "x", "none_end")


def test_steps_of_an_old_interview(questions):
    """A step under an old id is one under each of the new ids, once."""
    asked = read(questions, "boards: across", "[w1/boards, w1/joists_run, w1/how_long]").asked
    names = ["above_wall", "joists_run", "joists_run", "wall_length"]
    assert asked == tuple(Step("w1", name) for name in names)


def test_mistakes_are_told_at_their_place(questions):
    """An option that nothing took over, and answers of two editions that differ."""
    assert told(questions, "boards: slanted") == [
        "c.yaml:2:28: 'slanted' is not an answer to 'boards'; "
        "it is asked now as above_wall, joists_run"
    ]
    assert told(questions, "boards_stop: none, joists_end: some_end") == [
        "c.yaml:2:47: 'joists_end' is answered twice, under ids of other editions as well; "
        "keep one of none_end and some_end"
    ]
    assert "unknown question 'boards_stp'" in told(questions, "boards_stp: none")[0]


def test_ids_of_today_mean_themselves(full):
    """The shipped rules read every option of today as it stands."""
    for name, question in full.base.questions.items():
        for value in question.values:
            assert answers_now(full.base.questions, name, value) == [(name, value)]
