"""From outcomes to a candidate change of the rules: counted, written as a diff, never made."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterable
from pathlib import Path

import pytest

pytest.importorskip("sqlalchemy")

from click.testing import CliRunner

from walltriage.cli import main
from walltriage.desk.outcomes import Record, pool_text
from walltriage.desk.rules_diff import rules_diff
from walltriage.desk.table_candidates import PRIOR, Candidate, candidates
from walltriage.knowledge.load import load_knowledge
from walltriage.rules_folder import default_rules_folder

pytestmark = pytest.mark.extras
HOUSE = Path(__file__).parents[1] / "demo_houses" / "04-bungalow-with-roof-props.yaml"
CLUE, QUESTION, PATH = "props_seen", "roof_props", "roof_struts"


def wall(answer: str, bears: bool, paths: Iterable[str] = (), **more) -> Record:
    """An invented outcome of one wall."""
    facts = {
        "verdict": "cannot_tell", "chance": (0.2, 0.4), "bears": bears, "seen": "opened",
        "why": "work", "reporter": "engineer", "month": "2026-11", "rules": "x",
        "paths": tuple(paths), "answers": ((QUESTION, answer),),
    }  # fmt: skip
    return Record(**(facts | more))


def turned(**more) -> list[Record]:
    """Many props over walls that bear nothing, none over walls that take a prop."""
    return [wall("many", False, **more)] * 60 + [wall("none_anywhere", True, [PATH], **more)] * 60


def table_of(found: list[Candidate], clue: str = CLUE) -> Candidate:
    (candidate,) = (one for one in found if one.clue == clue)
    return candidate


def test_counted_by_hand(full):
    """One cell worked out on paper from the rules' own numbers."""
    candidate = table_of(candidates(turned(), full.base))
    path = full.base.paths[PATH]
    clue = next(c for c in path.entry.clues if c.id == CLUE)
    given = path.conditions[clue.condition][1]
    none, props = clue.shows
    weight = {
        state: given.not_bearing[state] * clue.shows[state]["many"] for state in (none, props)
    }
    many = 60 * weight[none] / sum(weight.values())
    weight = {
        state: given.bearing[state] * clue.shows[state]["none_anywhere"] for state in (none, props)
    }
    nothing = 60 * weight[none] / sum(weight.values())
    usual = clue.shows[none]["many"] / 100
    by_hand = 100 * (PRIOR * usual + many) / (PRIOR + many + nothing)
    assert candidate.after[none]["many"] == pytest.approx(by_hand, abs=0.06)
    assert candidate.outcomes == 120
    for row in candidate.after.values():
        assert sum(row.values()) == pytest.approx(100, abs=1e-9)
        assert all(0 < count < 100 for count in row.values())


def test_outcomes_as_the_tables_say_make_no_candidate(full):
    usual = [wall("none_anywhere", False)] * 60 + [wall("many", True, [PATH])] * 60
    assert not candidates(usual, full.base)


@pytest.mark.parametrize("more", [{"why": "doubt"}, {"reporter": "client"}])
def test_doubt_and_clients_word_move_no_table(more, full):
    assert candidates(turned(), full.base)
    assert not candidates(turned(**more), full.base)


def test_few_outcomes_and_unknown_paths_move_no_table(full):
    assert not candidates(turned()[::10], full.base)
    unnamed = [wall("none_anywhere", True)] * 60 + [wall("many", False)] * 20
    assert CLUE not in {one.clue for one in candidates(unnamed, full.base)}


@pytest.fixture
def rules(tmp_path):
    """A copy of the shipped rules."""
    folder = tmp_path / "rules"
    shutil.copytree(default_rules_folder(), folder)
    return folder


def test_the_diff_goes_in_and_nothing_was_written(full, rules, tmp_path):
    """By patch itself: the tables are the candidates', every other line is as it was."""
    wanted = candidates(turned(), full.base)
    before = {path: path.read_bytes() for path in rules.rglob("*.yaml")}
    text, left_out = rules_diff(rules, wanted)
    assert not left_out
    assert {path: path.read_bytes() for path in rules.rglob("*.yaml")} == before
    subprocess.run(["patch", "-p1", "-d", str(rules)], input=text, text=True, check=True,
                   capture_output=True)  # fmt: skip
    base = load_knowledge(rules)
    clues = {clue.id: clue for clue in base.clues()}
    for candidate in wanted:
        assert clues[candidate.clue].shows == candidate.after
    changed = [path for path, was in before.items() if path.read_bytes() != was]
    assert changed
    removed = [line for line in text.splitlines() if line[:1] == "-" and line[:3] != "---"]
    assert removed
    assert all("{" in line for line in removed)  # rows of tables, nothing else


def test_a_table_the_rules_would_not_load_with_is_left_out(full, rules):
    """A candidate that breaks the rules is named, the others stay."""
    good = table_of(candidates(turned(), full.base))
    other = next(c for c in full.base.clues() if c.id == "attic_looked_round")
    bad = Candidate(other.id, other.question, other.shows,
                    {state: dict.fromkeys(row, 80.0) for state, row in other.shows.items()},
                    99)  # fmt: skip
    text, left_out = rules_diff(rules, [good, bad])
    assert left_out == [bad]
    assert "many" in text
    assert "one_or_more" not in "".join(line for line in text.splitlines() if line.startswith("+"))


def test_a_clue_that_stands_in_no_file_is_told(full, rules):
    """Never is a candidate passed over in silence."""
    good = table_of(candidates(turned(), full.base))
    lost = Candidate("nowhere", good.question, good.before, good.after, 99)
    text, left_out = rules_diff(rules, [good, lost])
    assert left_out == [lost]
    assert text == rules_diff(rules, [good])[0]


def test_every_clue_of_the_rules_can_be_found_in_its_file(full, rules):
    """Whatever way a table is written: a candidate equal to it changes no number."""
    same = [Candidate(c.id, c.question, c.shows, c.shows, 0) for c in full.base.clues()]
    text, left_out = rules_diff(rules, same)
    assert not left_out
    assert text
    subprocess.run(["patch", "-p1", "-d", str(rules)], input=text, text=True, check=True,
                   capture_output=True)  # fmt: skip
    assert {c.id: c.shows for c in load_knowledge(rules).clues()} == {
        c.id: c.shows for c in full.base.clues()
    }


def test_the_command_writes_it_and_batch_compares(tmp_path, rules):
    """From a pool to the verdicts that would change, by the commands that are printed."""
    pool, diff = tmp_path / "theirs.jsonl", tmp_path / "candidate.diff"
    pool.write_text(pool_text(turned()))
    place = ["--data", str(tmp_path / "desk")]
    done = CliRunner().invoke(
        main, ["outcomes", "--pool-in", str(pool), "--rules-diff", str(diff), *place]
    )
    assert done.exit_code == 0, done.output
    assert "Nothing is changed" in done.stderr
    again = CliRunner().invoke(main, ["outcomes", "--rules-diff", str(diff), *place])
    assert again.exit_code == 2
    assert "already exists" in str(again.stderr or again.exception)
    subprocess.run(["patch", "-p1", "-d", str(rules)], input=diff.read_text(), text=True,
                   check=True, capture_output=True)  # fmt: skip
    compared = CliRunner().invoke(
        main, ["batch", str(HOUSE), "--rules", str(rules),
               "--compare", str(default_rules_folder())],
    )  # fmt: skip
    assert compared.exit_code == 0, compared.output
    assert "1 walls" in compared.output or "1 wall" in compared.output


def test_without_disagreement_no_file_is_written(tmp_path):
    pool, diff = tmp_path / "theirs.jsonl", tmp_path / "candidate.diff"
    pool.write_text(pool_text([wall("none_anywhere", False)] * 3))
    done = CliRunner().invoke(
        main, ["outcomes", "--pool-in", str(pool), "--rules-diff", str(diff),
               "--data", str(tmp_path / "desk")],
    )  # fmt: skip
    assert done.exit_code == 0, done.output
    assert "no diff is written" in done.stderr
    assert not diff.exists()
