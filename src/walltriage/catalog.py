"""The catalog of everything people read, for whoever translates it into another language.

``python -m walltriage.catalog walltriage.pot`` writes it (needs Babel).  From it
``pybabel init -D walltriage -i walltriage.pot -d src/walltriage/locale -l es`` begins a
translation, and ``pybabel compile -D walltriage -d src/walltriage/locale`` puts it to use.
"""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator
from inspect import cleandoc
from pathlib import Path

from walltriage.knowledge.load import parsed_files
from walltriage.knowledge.visible_texts import texts_of_file
from walltriage.language import DOMAIN
from walltriage.rules_folder import default_rules_folder
from walltriage.template_texts import said, texts

CODE = Path(__file__).resolve().parent
READ = (
    "bulk/write.py", "case", "commands", "desk", "desk/web", "inference", "inference/looks",
    "inference/numbers", "inference/relations", "interview", "knowledge/base.py",
    "knowledge/rule_kinds.py", "lab/all_answers.py", "lab/checked.py", "lab/run.py", "prove",
    "report", "rule_testing/coverage.py", "structure", "cli.py", "errors.py", "units.py",
)  # fmt: skip
TEMPLATES = ("desk/web/templates",)
SAID_IN = ("report/templates",)  # templates that have each of their words said
_NO_TEXT = frozenset({"Problem", "AnswerError", "ValueError", "TypeVar", "Choice", "getattr"})
_LETTERS = re.compile(r"[A-Za-z]{2}")


def texts_of_rules(folder: Path) -> Iterator[tuple[str, str]]:
    """Each text of a rules folder, with the file it stands in."""
    for name, tree in parsed_files(folder).items():
        for text in texts_of_file(tree.data, name):
            yield text, f"rules/{name}"


def texts_of_code() -> Iterator[tuple[str, str]]:
    """Each string people see in the modules that are read, with the module's name."""
    for name in READ:
        path = CODE / name
        for file in [path] if path.is_file() else sorted(path.glob("*.py")):
            tree = ast.parse(file.read_text(encoding="utf-8"))
            yield from ((text, file.relative_to(CODE).as_posix()) for text in shown(tree))


def texts_of_templates() -> Iterator[tuple[str, str]]:
    """Each text of a page template, with the template's name."""
    for folder in TEMPLATES:
        for file in sorted((CODE / folder).glob("*.[hm]*")):
            for text in texts(file.read_text(encoding="utf-8")):
                yield text, file.relative_to(CODE).as_posix()
    for folder in SAID_IN:
        for file in sorted((CODE / folder).glob("*.j2")):
            for text in said(file.read_text(encoding="utf-8")):
                yield text, file.relative_to(CODE).as_posix()


def shown(tree: ast.Module) -> Iterator[str]:
    """Strings of a module that are words for people.

    Of docstrings only those of commands are; messages of errors stay English, as the names of
    keys in them do.  A word in lower case is one where it is said, or in a table whose name ends
    in ``WORDS``.
    """
    hidden = {id(part) for node in ast.walk(tree) for part in _hidden(node)}
    words = {id(part) for node in ast.walk(tree) for part in _words(node)}
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or not isinstance(node.value, str):
            continue
        if id(node) in words or (id(node) not in hidden and _is_text(node.value)):
            yield cleandoc(node.value) if node.value.count("\n    ") else node.value


def _words(node: ast.AST) -> Iterator[ast.AST]:
    """What is said, or stands in a table of words."""
    if isinstance(node, ast.Call) and getattr(node.func, "id", "") in ("say", "say_count"):
        yield from (part for argument in node.args for part in _choices(argument))
    if isinstance(node, ast.Assign | ast.AnnAssign):
        name = getattr(node.targets[0] if isinstance(node, ast.Assign) else node.target, "id", "")
        if name.endswith("WORDS") and isinstance(node.value, ast.Dict | ast.Tuple):
            values = node.value.values if isinstance(node.value, ast.Dict) else node.value.elts
            yield from (part for value in values for part in ast.walk(value))


def _choices(argument: ast.expr) -> Iterator[ast.AST]:
    """A text, or the two of which one is said."""
    yield from (argument.body, argument.orelse) if isinstance(argument, ast.IfExp) else (argument,)


def _hidden(node: ast.AST) -> Iterator[ast.AST]:
    if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef):
        marks = [ast.unparse(mark) for mark in getattr(node, "decorator_list", [])]
        if not any("command(" in mark or "group(" in mark for mark in marks):
            yield from (part.value for part in node.body if isinstance(part, ast.Expr))
        return
    if isinstance(node, ast.JoinedStr):
        yield from ast.walk(node)
    if isinstance(node, ast.Call):
        called = getattr(node.func, "id", getattr(node.func, "attr", ""))
        if called in _NO_TEXT - {"Choice"}:
            yield from ast.walk(node)
        if called == "Choice" and node.args:
            yield node.args[0]


def _is_text(text: str) -> bool:
    return bool(_LETTERS.search(text)) and (" " in text or text[0].isupper()) and "(?" not in text


def made() -> dict[str, set[str]]:
    """Every text with the places it stands in."""
    found: dict[str, set[str]] = {}
    rules = texts_of_rules(default_rules_folder())
    for text, where in (*rules, *texts_of_code(), *texts_of_templates()):
        if _LETTERS.search(text):
            found.setdefault(text, set()).add(where)
    return found


def write(path: Path) -> int:
    """Write the catalog and return how many texts it has; needs Babel."""
    from babel.messages.catalog import Catalog
    from babel.messages.pofile import write_po

    catalog = Catalog(project=DOMAIN, charset="utf-8")
    for text, places in sorted(made().items()):
        catalog.add(text, locations=[(place, 0) for place in sorted(places)])
    with path.open("wb") as file:
        write_po(file, catalog, include_lineno=False)
    return len(catalog)


if __name__ == "__main__":
    target = Path(*sys.argv[1:2] or [f"{DOMAIN}.pot"])
    print(f"{target}: {write(target):,} texts")
