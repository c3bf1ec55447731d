"""The recorded interviews in ``transcripts_demo/``: current, varied, and they replay."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from tests.record_transcripts import HOUSES, TRANSCRIPTS, interview
from walltriage.case.model import NO_ANSWER
from walltriage.case.read import read_case
from walltriage.case.write import case_data
from walltriage.cli import main
from walltriage.interview.planner import Planner

NAMES = sorted(path.name for path in HOUSES.glob("*.yaml"))


@pytest.fixture(scope="module")
def recorded(full):
    """Every transcript by its file name."""
    return {path.name: read_case(path, full.base.questions) for path in TRANSCRIPTS.glob("*.yaml")}


@pytest.fixture(scope="module")
def planner(full):
    return Planner(full)


def test_one_transcript_for_each_house(recorded):
    """None left over, none forgotten."""
    assert sorted(recorded) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_transcript_is_what_the_planner_asks_today(name, recorded, planner):
    """Same questions in the same order, same answers, same outcome; else
    ``python -m tests.record_transcripts`` records them afresh."""
    person = read_case(HOUSES / name, planner.base.questions)
    now, then = case_data(interview(planner, person)), case_data(recorded[name])
    now["outcome"]["rules"] = then["outcome"]["rules"]  # told by every change of the rules
    assert now == then


def test_every_kind_of_interview_is_there(recorded):
    """Verdicts, users, places in the house, a contradiction, out of scope, nothing known."""
    outcomes = [wall for case in recorded.values() for wall in case.outcome["walls"]]
    assert {wall["verdict"] for wall in outcomes} == {
        "likely_bearing", "likely_non_bearing", "cannot_tell",
    }  # fmt: skip
    assert {case.role for case in recorded.values()} == {"buyer", "trade", "firm"}
    above = {
        wall.answers["above_wall"].value
        for case in recorded.values()
        for wall in case.walls
        if "above_wall" in wall.answers
    }
    assert {"only_attic", "rooms_all_along", "sloped_ceiling"} <= above
    fired = {rule for wall in outcomes for rule in wall["fired"]}
    assert {"gate_any_contradiction", "gate_any_scope"} <= fired
    assert any(
        all(a.value in NO_ANSWER for part in (case.house, *(w.answers for w in case.walls))
            for a in part.values())
        for case in recorded.values()
    )  # fmt: skip
    answers = [a for case in recorded.values() for w in case.walls for a in w.answers.values()]
    assert {a.sure for a in answers} == {"certain", "fairly", "guess"}
    assert any(a.by for a in answers)
    assert any(a.note for a in answers)
    assert all(case.story for case in recorded.values())


def test_a_readme_beside_transcripts_is_passed_over():
    """``replay transcripts_demo/*`` as a shell writes it out: exit 0, a word on the README."""
    files = sorted(str(path) for path in TRANSCRIPTS.iterdir())
    assert any(name.endswith("README.md") for name in files)
    done = CliRunner().invoke(main, ["replay", "--quiet", *files])
    assert done.exit_code == 0, done.output
    assert done.stdout.count("as recorded") == len(NAMES)
    assert done.stderr.splitlines() == [f"{TRANSCRIPTS / 'README.md'}: not a transcript, skipped"]


def test_nothing_but_text_for_people_is_no_transcript(tmp_path):
    """A README alone is not silently taken for success."""
    (tmp_path / "README.md").write_text("words\n")
    done = CliRunner().invoke(main, ["replay", str(tmp_path / "README.md")])
    assert done.exit_code == 2
    assert "no transcripts there" in done.stderr
