"""The guide to writing rules: complete, and what it says happens does happen."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from tests.conftest import HERE, RULES, SMALL_RULES, shipped_rules
from walltriage.case.model import Answer, Case, Wall
from walltriage.commands.rules import command
from walltriage.entries import Entry, form_of
from walltriage.errors import InputError
from walltriage.inference.triage import Triager
from walltriage.knowledge import schema, schema_measures, schema_plan
from walltriage.knowledge.load import load_knowledge
from walltriage.knowledge.rule_cache import cache_folder
from walltriage.lab.findings import unmodelled
from walltriage.rule_testing.lints import ALL_LINTS

GUIDE = (HERE.parent / "docs" / "writing-rules.md").read_text(encoding="utf-8")
PLACED = re.compile(r"under\s+`(\w+):`\s+of\s+`([\w/.]+)`:\n\n```yaml\n(.*?)```", re.DOTALL)
MODELS = [
    model
    for module in (schema, schema_measures, schema_plan)
    for model in vars(module).values()
    if isinstance(model, type) and issubclass(model, Entry) and model.__module__ == module.__name__
]


@pytest.mark.parametrize("lint", ALL_LINTS, ids=lambda lint: lint.id)
def test_every_lint_is_told(lint):
    """One line of the table for each lint, with its severity."""
    assert GUIDE.count(f"| `{lint.id}` | {lint.severity} |") == 1


def test_no_lint_is_told_that_does_not_exist():
    """The table names nothing else."""
    told = set(re.findall(r"^\| `(\w+)` \|", GUIDE, re.MULTILINE))
    assert told == {lint.id for lint in ALL_LINTS}


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_every_key_is_told(model):
    """Each key of the schema stands in the guide as code."""
    for name in form_of(model).model_fields:
        assert re.search(rf"`{name}\b|`[^`\n]*\b{name}:", GUIDE), name


@pytest.fixture
def tried(tmp_path):
    """The small rules after the steps of the guide, and a way to run a command on them."""
    folder = tmp_path / "rules"
    shutil.copytree(SMALL_RULES, folder)
    steps = PLACED.findall(GUIDE)
    assert [step[0] for step in steps] == ["questions", "clues", "framing_at_wall"]
    for key, name, text in steps[:2]:
        put(folder / name, f"{key}:", text)
    return folder, runner(folder)


def runner(folder):
    """A way to run a command of ``rules`` on a folder."""

    def run(*args):
        result = CliRunner().invoke(command, [*args, "--rules", str(folder)])
        if isinstance(result.exception, InputError):
            return [str(p).removeprefix(f"{folder}/") for p in result.exception.problems]
        return [line.removeprefix(f"{folder}/") for line in result.output.splitlines()]

    return run


def put(path: Path, head: str, text: str) -> None:
    """Insert a block at the head of a list of a file."""
    whole = path.read_text(encoding="utf-8")
    assert whole.count(f"\n{head}\n") == 1
    path.write_text(whole.replace(f"\n{head}\n", f"\n{head}\n{text}"), encoding="utf-8")


def told_in_guide(line):
    """Whether the guide quotes this line of output."""
    return f"\n    {line}\n" in GUIDE


def test_the_steps_give_a_sound_base(tried):
    """After step 3 the check finds neither problem nor warning."""
    _, run = tried
    assert [line.split() for line in run("check")][-2:] == [["0", "problems"], ["0", "warnings"]]


def test_the_first_mistake_is_told_as_quoted(tried):
    """Without limits the loader says what the guide says."""
    folder, run = tried
    path = folder / "load_paths" / "framing_above.yaml"
    text = path.read_text(encoding="utf-8")
    line = '    limits: ["strips nailed across the joists turn the rows"]\n'
    path.write_text(text.replace(line, ""), encoding="utf-8")
    (message,) = run("check")
    assert told_in_guide(message)


def test_the_second_mistake_is_told_as_quoted(tried):
    """With a trade word the lint says what the guide says."""
    folder, run = tried
    path = folder / "questions" / "all.yaml"
    text = path.read_text(encoding="utf-8")
    was = "Which way do the rows of nail heads in the ceiling run?"
    now = "Which way do the joists run, by the nail heads?"
    path.write_text(text.replace(was, now), encoding="utf-8")
    assert told_in_guide(run("check")[-1])


def test_the_weights_are_as_quoted(tried):
    """What 'rules show' prints for certain is what step 5 says."""
    _, run = tried
    (line,) = [line for line in run("show", "clue_nail_rows") if "certain" in line]
    along, across = re.findall(r"[+-][\d.]+ dB", line)
    assert f'{along} for "along" and {across} for "across"' in GUIDE.replace("\n", " ")


def test_the_gap_is_told_as_quoted(tried):
    """'rules cover' misses the other answer, until the case is added."""
    folder, run = tried
    gaps = [line for line in run("cover") if "nail_rows" in line]
    assert len(gaps) == 1
    assert told_in_guide(gaps[0])
    path = folder / "load_paths" / "framing_above.yaml"
    text = path.read_text(encoding="utf-8")
    both = text.replace("[{nail_rows: along}]", "[{nail_rows: along}, {nail_rows: across}]")
    path.write_text(both, encoding="utf-8")
    assert not [line for line in run("cover") if "nail_rows" in line]


def test_a_new_question_of_the_shipped_rules_needs_no_python(tmp_path):
    """Checked, weighed and shown; simulated people do not know it, and that is told."""
    folder = tmp_path / "rules"
    shutil.copytree(RULES, folder)
    (_, _, question), _, (key, name, clue) = PLACED.findall(GUIDE)
    put(folder / "questions" / "overhead.yaml", "questions:", question)
    put(folder / name, f"clues:\n  {key}:", clue)
    run = runner(folder)
    before = unmodelled(shipped_rules().questions)["never_known"]
    told = run("check")
    assert [line.split()[:2] for line in told if "problems" in line] == [["0", "problems"]]
    names = sorted({*before, "nail_rows"})
    assert f"note: not known to any simulated person: {', '.join(names)}" in told
    base = load_knowledge(folder, cache_folder())  # as the command left it
    assert sorted(unmodelled(base.questions)["never_known"]) == names
    triager = Triager(base)
    found = [
        triager.finding(Case(walls=(Wall("w1", answers={"nail_rows": Answer(value)}),))).walls[0]
        for value in ("along", "across")
    ]
    framing = [next(p for p in wall.load_paths if p.id == "framing_above") for wall in found]
    assert framing[0].probability[1] < framing[1].probability[1]
    assert all(any(e.rule == "clue_nail_rows" for e in path.evidence) for path in framing)
