"""Each lint fires on the mistakes written for it, at their places, and is quiet otherwise.

A case file in ``cases/`` is named like its lint and holds edits of the small rules:
``fires`` with the start of every finding, and ``quiet``, near the mistake but sound.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
import yaml

from tests.conftest import SMALL_RULES, read_yaml
from walltriage.knowledge.lints.model import run_lints
from walltriage.knowledge.load import load_knowledge
from walltriage.rule_testing.lints import ALL_LINTS

CASES = Path(__file__).resolve().parent / "cases"
BY_ID = {lint.id: lint for lint in ALL_LINTS}


def cases(kind: str):
    """Every case of one kind, named after its lint."""
    for path in sorted(CASES.glob("*.yaml")):
        for index, case in enumerate(read_yaml(path)[kind]):
            yield pytest.param(path.stem, case, id=f"{path.stem}-{index}")


def edited(case, tmp_path):
    """The small rules with the edits of a case, loaded."""
    folder = tmp_path / "rules"
    shutil.copytree(SMALL_RULES, folder)
    for name, was, now in case["edits"]:
        text = (folder / name).read_text(encoding="utf-8")
        assert was in text, f"the passage to change is not in {name}"
        (folder / name).write_text(text.replace(was, now, 1), encoding="utf-8")
    for name, text in case.get("files", {}).items():
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    if "glossary" in case:
        (folder / "glossary.yaml").write_text(yaml.safe_dump(case["glossary"]), encoding="utf-8")
    return load_knowledge(folder), folder


@pytest.mark.parametrize(("lint", "case"), [*cases("fires")])
def test_fires(lint, case, tmp_path):
    """The mistake is told once, at its place, with the lint's id and remedy."""
    base, folder = edited(case, tmp_path)
    found = [str(p).replace(f"{folder}/", "") for p in BY_ID[lint].run(base)]
    assert len(found) == len(case["says"]), found
    for line, start in zip(found, case["says"], strict=True):
        assert line.startswith(start)
        assert line.endswith(f" [{lint}]; {BY_ID[lint].remedy}")


@pytest.mark.parametrize(("lint", "case"), [*cases("quiet")])
def test_is_quiet(lint, case, tmp_path):
    """A sound rule base that comes near the mistake is not blamed by this lint."""
    base, _ = edited(case, tmp_path)
    assert [str(problem) for problem in BY_ID[lint].run(base)] == []


def test_every_lint_has_both_kinds_of_case():
    """No lint without a case file, no case file without a lint, none with one kind only."""
    assert {path.stem for path in CASES.glob("*.yaml")} == set(BY_ID)
    for path in CASES.glob("*.yaml"):
        held = read_yaml(path)
        assert set(held) == {"fires", "quiet"}
        assert all(held.values())


def test_ids_are_unique():
    """An id names one lint."""
    assert len(BY_ID) == len(ALL_LINTS) >= 20


def test_small_rules_pass_all(small):
    """The rule base that the others are made from has neither errors nor warnings."""
    assert run_lints(ALL_LINTS, small.base) == ([], [])


def test_severities_are_kept_apart(tmp_path):
    """Errors and warnings come out in two lists, each in the order of places."""
    case = {
        "edits": [
            ["questions/all.yaml", 'ask: "Do boards', 'ask: "Do structural joists and boards'],
            [
                "sources.yaml",
                "irc_2018:",
                "b: {title: Bee, edition: 1st, provenance: seen}\nirc_2018:",
            ],
        ]
    }
    base, folder = edited(case, tmp_path)
    errors, warnings = run_lints(ALL_LINTS, base)
    assert [p.what.rpartition(" ")[2] for p in errors] == ["[unglossed_word]", "[leading_word]"]
    assert [p.path for p in warnings] == [str(folder / "sources.yaml")]
