"""The study command: figures, charts, taking a run up again, and bad input."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ElementTree

import pytest
from click.testing import CliRunner

import walltriage.lab.run as running
from walltriage.commands.study import command
from walltriage.errors import InputError

KEYS = {
    "walls", "bearing", "miss", "miss_upper95", "nonbearing_said",
    "wrong_among_nonbearing_upper95", "nonbearing_recognised", "bearing_recognised",
    "cannot_tell", "median_questions",
}  # fmt: skip


def call(folder, *more: str):
    arguments = ["--walls", "60", "--seed", "3", "--cores", "1", "--folder", str(folder), *more]
    return CliRunner().invoke(command, arguments)


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    folder = tmp_path_factory.mktemp("study")
    done = call(folder / "run", "--json", "--charts", str(folder / "charts"))
    assert done.exit_code == 0, done.output
    return folder, json.loads(done.stdout)


def test_json_has_the_keys(told):
    """The figures that others read, with the sentence that belongs beside them."""
    found = told[1]
    assert set(found) >= KEYS
    assert found["walls"] == 60
    assert "No field rate is known." in found["says"]
    assert set(found["orders"]) == {"planner", "fixed", "random"}
    assert sum(row["walls"] for row in found["archetypes"].values()) == 60
    assert set(found["unmodelled"]) == {"drawn", "never_known"}


def test_charts_are_drawn(told):
    """Four well-formed SVG files."""
    names = sorted(path.name for path in (told[0] / "charts").iterdir())
    assert names == ["calibration.svg", "misses.svg", "questions.svg", "verdicts.svg"]
    for name in names:
        root = ElementTree.parse(told[0] / "charts" / name).getroot()
        assert root.tag.endswith("svg")
        assert len(root) > 10


def test_an_interrupted_run_goes_on(told, monkeypatch, tmp_path):
    """What was finished stays, the rest is done, the figures are the same."""
    calls = []
    hold = running._hold

    def stopping(plan, piece):
        calls.append(piece[0])
        if len(calls) == 2:
            raise KeyboardInterrupt
        return hold(plan, piece)

    monkeypatch.setattr(running, "_hold", stopping)
    with pytest.raises(KeyboardInterrupt):
        running.run(running.Study(_rules(), 60, 3, "usual", tmp_path / "run", 1), resume=False)
    assert len(list((tmp_path / "run").glob("*.npz"))) == 1
    done = call(tmp_path / "run", "--json", "--resume")
    assert len(calls) == 2 + 2  # the first piece is not done again
    assert json.loads(done.stdout) == told[1]


def _rules():
    from walltriage.rules_folder import default_rules_folder

    return default_rules_folder()


def test_a_run_is_told_in_words(told):
    """On a finished folder nothing is run again, and every line is there."""
    done = call(told[0] / "run", "--resume")
    assert done.exit_code == 0
    for words in ("likely non-bearing", "95 % bound", "calibration slope", "order random"):
        assert words in done.output


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--walls", "0", "--seed", "1"], "0 walls"),
        (["--walls", "999999999", "--seed", "1"], "999999999 walls"),
        (["--walls", "10", "--seed", "-1"], "-1 is negative"),
        (["--walls", "10", "--seed", "1", "--cores", "0"], "0 cores"),
    ],
)
def test_absurd_sizes_are_refused(arguments, words, tmp_path):
    """One message, and nothing is written."""
    done = CliRunner().invoke(command, [*arguments, "--folder", str(tmp_path / "x")])
    assert isinstance(done.exception, InputError)
    assert words in str(done.exception)
    assert not (tmp_path / "x").exists()


def test_a_folder_of_something_else_is_left_alone(tmp_path):
    """Files that are no study are not deleted."""
    (tmp_path / "letter.txt").write_text("dear")
    done = call(tmp_path)
    assert isinstance(done.exception, InputError)
    assert "no study" in str(done.exception)
    assert (tmp_path / "letter.txt").read_text() == "dear"


def test_charts_that_cannot_be_written_are_told_before_the_run(tmp_path):
    """A file stands where the folder should be; no interview is held first."""
    (tmp_path / "charts").write_text("a file")
    done = call(tmp_path / "run", "--charts", str(tmp_path / "charts"))
    assert isinstance(done.exception, InputError)
    assert "cannot be written" in str(done.exception)
    assert not (tmp_path / "run").exists()


def test_resuming_another_study_is_refused(told):
    """Other walls, another seed."""
    done = CliRunner().invoke(
        command,
        ["--walls", "61", "--seed", "3", "--resume", "--folder", str(told[0] / "run")],
    )
    assert isinstance(done.exception, InputError)
    assert "another study" in str(done.exception) or "study of other" in str(done.exception)


def test_all_answers_are_measured():
    arguments = ["--walls", "30", "--seed", "3", "--reporter", "perfect", "--all-answers"]
    done = CliRunner().invoke(
        command, [*arguments, "--reach", "opened", "--mix", "stock", "--json"]
    )
    assert done.exit_code == 0, done.output
    found = json.loads(done.stdout)
    assert (found["walls"], found["reach"], found["mix"]) == (30, "opened", "stock")
    plain = CliRunner().invoke(command, arguments)
    assert plain.output.startswith("missed of bearing walls: ")


def test_checked_photos_stand_beside_other_people():
    arguments = ["--walls", "30", "--seed", "3", "--checked"]
    done = CliRunner().invoke(command, [*arguments, "--json"])
    assert done.exit_code == 0, done.output
    found = json.loads(done.stdout)
    assert set(found["people"]) == {
        "usual", "usual, photos checked", "usual, the same as certain", "careful", "perfect",
    }  # fmt: skip
    plain = CliRunner().invoke(command, arguments)
    assert "photos checked" in plain.output


@pytest.mark.parametrize(
    "arguments",
    [["--reach", "attic"], ["--mix", "stock"], ["--all-answers", "--resume"],
     ["--all-answers", "--charts", "x"], ["--all-answers", "--walls", "0"],
     ["--all-answers", "--seed", "-1"], ["--checked", "--all-answers"], ["--checked", "--resume"],
     ["--checked", "--walls", "0"]],
)  # fmt: skip
def test_options_that_would_do_nothing_are_refused(arguments, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(command, ["--walls", "30", "--seed", "3", *arguments])
    assert isinstance(done.exception, InputError)
    assert not list(tmp_path.iterdir())
