"""Every string people see is in the words of the American trade: code, templates, guides.

The texts of the rules are read by the lint ``foreign_word``.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.conftest import RULES
from walltriage.knowledge.lints.trade_english import foreign_word
from walltriage.knowledge.words_not_to_use import words_not_to_use

HERE = Path(__file__).resolve().parents[2]
CODE = HERE / "src" / "walltriage"
LISTS = {"knowledge/words_not_to_use.py", "knowledge/trade_words.py"}  # what people may type
GUIDES = (
    "README.md", "docs/batch.md", "docs/case-files.md", "docs/desk.md", "docs/reports.md",
    "docs/worked-example.md",
)  # fmt: skip


def strings(source: str) -> Iterator[tuple[int, str]]:
    """Strings of some words, with their lines; of docstrings only those that are help texts."""
    tree = ast.parse(source)
    inner = set()
    for node in ast.walk(tree):
        if not isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef):
            continue
        marks = [ast.unparse(mark) for mark in getattr(node, "decorator_list", [])]
        if any("command" in mark or "group" in mark for mark in marks):
            continue
        inner |= {id(part.value) for part in node.body if isinstance(part, ast.Expr)}
    for node in ast.walk(tree):
        if id(node) in inner or not isinstance(node, ast.Constant):
            continue
        if isinstance(node.value, str) and " " in node.value:
            yield node.lineno, node.value


def told(name: str, line: int, text: str) -> Iterator[str]:
    """What stands in the text that should not; names in braces are filled in and not seen."""
    for found in words_not_to_use(re.sub(r"{[^{}]*}", "", text)):
        yield f"{name}:{line}: '{found.word}': write {found.instead}"


def test_strings_of_the_code():
    paths = [p for p in sorted(CODE.rglob("*.py")) if p.relative_to(CODE).as_posix() not in LISTS]
    assert len(paths) > 200
    found = [
        one
        for path in paths
        for line, text in strings(path.read_text(encoding="utf-8"))
        for one in told(path.relative_to(HERE).as_posix(), line, text)
    ]
    assert found == []


def test_templates():
    paths = sorted((*CODE.rglob("*.html"), *CODE.rglob("*.j2")))
    assert len(paths) > 20
    found = []
    for path in paths:
        text = re.sub(r"{#.*?#}|{%.*?%}|{{.*?}}|<[^>]*>", " ", path.read_text(encoding="utf-8"))
        found += told(path.name, 0, re.sub(r"\s+", " ", text))
    assert found == []


@pytest.mark.parametrize("name", GUIDES)
def test_guides(name):
    text = re.sub(r"```.*?```|`[^`]*`", "", (HERE / name).read_text(encoding="utf-8"), flags=re.S)
    assert list(told(name, 0, text)) == []


def test_rules(full):
    assert [str(problem) for problem in foreign_word.run(full.base)] == []
    assert full.base.folder == RULES


def test_a_docstring_is_no_text_but_the_help_of_a_command_is():
    source = '"""Old grey."""\n@click.command("x")\ndef x():\n    """Grey props."""\n    y("a z")\n'
    assert [text for _, text in strings(source)] == ["Grey props.", "a z"]
