"""``rules check`` and ``rules cover`` as a person or a script meets them."""

from __future__ import annotations

import json
import shutil

import pytest
from click.testing import CliRunner

from tests.conftest import HERE, SMALL_RULES
from walltriage.commands.rules import command
from walltriage.errors import InputError

SCENARIOS = HERE / "small_scenarios"


def run(*args):
    """The command's result; an :class:`InputError` comes through."""
    result = CliRunner().invoke(command, [str(arg) for arg in args])
    if isinstance(result.exception, InputError):
        raise result.exception
    return result


@pytest.fixture
def folder(tmp_path):
    """A copy of the small rules to spoil."""
    shutil.copytree(SMALL_RULES, tmp_path / "rules")
    return tmp_path / "rules"


def spoil(path, was, now):
    """Replace one passage of a file."""
    text = path.read_text(encoding="utf-8")
    assert was in text
    path.write_text(text.replace(was, now, 1), encoding="utf-8")


def test_check_counts():
    """A sound folder: counts, nothing on stderr, exit 0."""
    result = run("check", "--json", "--rules", SMALL_RULES)
    assert result.exit_code == 0
    assert result.stderr == ""
    assert json.loads(result.stdout) == {
        "questions": 6, "clues": 3, "decisive_signs": 1, "rules": 17, "sources": 1,
        "problems": 0, "warnings": 0,
    }  # fmt: skip


def test_check_tells_lints_and_failed_cases_together(folder):
    """An error of a lint and a wrong case of a rule both come out, and the exit is 1."""
    spoil(folder / "questions" / "all.yaml", "Do boards stop", "Do joists stop")
    spoil(folder / "cautions.yaml", "quiet: [{built_of: brick}]", "quiet: [{built_of: wood}]")
    result = run("check", "--rules", folder)
    assert result.exit_code == 1
    first, second = result.stderr.splitlines()
    assert first == (
        f"{folder}/cautions.yaml:8:34: 'caution_power' does not stay quiet on "
        "{'built_of': 'wood'}; fix the rule or its case"
    )
    assert "'joist' in 'joists_end' is not explained [unglossed_word]" in second
    assert "2 problems" in result.stdout


def test_a_warning_alone_is_no_failure(folder):
    """Warnings are told on stderr and counted, and the exit stays 0."""
    spoil(
        folder / "sources.yaml",
        "irc_2018",
        "handbook: {title: A handbook, edition: 3rd, provenance: seen}\nirc_2018",
    )
    result = run("check", "--rules", folder)
    assert result.exit_code == 0
    assert result.stderr.startswith("warning: ")
    assert "[unused_source]" in result.stderr
    assert "1 warnings" in result.stdout


def test_a_broken_folder_is_bad_input(folder):
    """What cannot be read is no lint: it ends in an error of its own, exit 2 for the command."""
    spoil(folder / "cautions.yaml", "level: strong", "level: mild")
    with pytest.raises(InputError, match="'mild' is not allowed for 'level'"):
        run("check", "--rules", folder)


def test_cover_tells_the_gap():
    """The one test of the small rules that nothing can show is told with its line; exit 1."""
    result = run("cover", "--rules", SMALL_RULES, "--scenarios", SCENARIOS)
    assert result.exit_code == 1
    gap, summary = result.stdout.splitlines()
    assert gap == (
        f"{SMALL_RULES}/guards.yaml:50: in verdict 'verdict_bearing' the test 'not scope any' "
        "is never what stops it"
    )
    assert summary.startswith("95 of 96 exercised (99.0 %)")


def test_cover_at_hundred_percent(folder):
    """With that test taken out of the rule everything is exercised; exit 0."""
    spoil(
        folder / "guards.yaml",
        "all: [{measure: lower, at_least: bearing_at_least}, {not: {scope: any}}]",
        "measure: lower\n          at_least: bearing_at_least",
    )
    result = run("cover", "--rules", folder, "--scenarios", SCENARIOS, "--json")
    told = json.loads(result.stdout)
    assert (result.exit_code, told["percent"], told["gaps"]) == (0, 100.0, [])
    assert told["scenarios"] == 3


def test_scenarios_count(folder):
    """Without the scenarios less is exercised."""
    with_them = json.loads(
        run("cover", "--rules", folder, "--scenarios", SCENARIOS, "--json").stdout
    )
    without = json.loads(run("cover", "--rules", folder, "--json").stdout)
    assert without["exercised"] < with_them["exercised"]
    assert {gap["kind"] for gap in without["gaps"]} == {"carries", "stops"}


def test_transcripts_count(folder, tmp_path):
    """A transcript's answers count like a scenario's, and a bad one is told."""
    transcripts = tmp_path / "told"
    transcripts.mkdir()
    case = (
        "schema: walltriage/case/1\n"
        "walls: [{id: w1, answers: {joists_run: along, joists_end: some_end}}]\n"
    )
    told = "in gate 'gate_scope' the test 'contradiction any' is never true when it fires"
    (transcripts / "a.yaml").write_text(case, encoding="utf-8")
    args = ("cover", "--rules", folder, "--json")
    before = json.loads(run(*args).stdout)
    after = json.loads(run(*args, "--transcripts", transcripts).stdout)
    assert (before["transcripts"], after["transcripts"]) == (0, 1)
    assert told in [gap["what"] for gap in before["gaps"]]
    assert told not in [gap["what"] for gap in after["gaps"]]
    (transcripts / "b.yaml").write_text(case.replace("along", "alon"), encoding="utf-8")
    with pytest.raises(InputError, match="'alon' is not an answer to 'joists_run'"):
        run(*args, "--transcripts", transcripts)
    with pytest.raises(InputError, match="no such folder; expected transcripts"):
        run(*args, "--transcripts", tmp_path / "none")
