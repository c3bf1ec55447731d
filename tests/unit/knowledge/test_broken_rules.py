"""One broken knowledge file after the other: each mistake gets its exact message."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
import yaml

from tests.conftest import HERE, SMALL_RULES
from walltriage.errors import InputError
from walltriage.inference.engine.strata import stratify
from walltriage.knowledge.load import load_knowledge

BROKEN = sorted((HERE / "broken_rules").glob("*.yaml"))


def messages(folder: Path) -> list[str]:
    """Every problem of a rules folder, paths cut to the folder."""
    try:
        stratify(load_knowledge(folder))
    except InputError as error:
        return [str(problem).replace(f"{folder}/", "") for problem in error.problems]
    return []


@pytest.mark.parametrize("path", BROKEN, ids=lambda path: path.stem)
def test_mistake_is_told(path, tmp_path):
    """The loader tells this mistake, at its place, and no other."""
    case = yaml.safe_load(path.read_text(encoding="utf-8"))
    folder = tmp_path / "rules"
    shutil.copytree(SMALL_RULES, folder)
    target = folder / case["file"]
    text = target.read_text(encoding="utf-8")
    if case["was"] is None:
        target.unlink()
    else:
        assert text.count(case["was"]) >= 1, "the passage to break is not in the file"
        target.write_text(text.replace(case["was"], case["now"], 1), encoding="utf-8")
    assert messages(folder) == case["says"]


def test_mistakes_of_every_kind_are_told_in_one_run(tmp_path):
    """What is wrong in itself does not hide what does not fit together elsewhere; and what only
    misses the entry that could not be read is not told."""
    folder = tmp_path / "rules"
    shutil.copytree(SMALL_RULES, folder)
    broken = [yaml.safe_load((HERE / "broken_rules" / f"{name}.yaml").read_text("utf-8"))
              for name in ("bad_enum", "base_rate_upside_down")]  # fmt: skip
    for case in broken:
        target = folder / case["file"]
        target.write_text(target.read_text("utf-8").replace(case["was"], case["now"], 1), "utf-8")
    assert sorted(messages(folder)) == sorted(line for case in broken for line in case["says"])


def test_small_rules_are_whole():
    """The folder that the others break is free of mistakes."""
    assert messages(SMALL_RULES) == []


def test_all_mistakes_are_told_in_one_run(tmp_path):
    """Mistakes in several files come out together."""
    folder = tmp_path / "rules"
    shutil.copytree(SMALL_RULES, folder)
    for name, was, now in (
        ("guards.yaml", "cannot_tell: 1", "cannot_tel: 1"),
        ("cautions.yaml", "level: strong", "level: mild"),
        ("questions/all.yaml", "effort: 0", "effort: 9"),
    ):
        text = (folder / name).read_text(encoding="utf-8")
        (folder / name).write_text(text.replace(was, now, 1), encoding="utf-8")
    found = messages(folder)
    assert {line.split(":")[0] for line in found} == {
        "guards.yaml", "cautions.yaml", "questions/all.yaml"
    }  # fmt: skip


def test_no_folder(tmp_path):
    """A folder that is not there is named."""
    with pytest.raises(InputError, match="no such folder; expected a rules folder"):
        load_knowledge(tmp_path / "nowhere")
