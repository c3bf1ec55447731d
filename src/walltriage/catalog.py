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

CODE = Path(__file__).resolve().parent
READ = ("interview", "commands", "cli.py")  # what is said through ``language.say`` so far
_NO_TEXT = frozenset({"Problem", "AnswerError", "ValueError", "TypeVar", "Choice", "getattr"})
_ONE_WORD = frozenset({"back"})  # the others in lower case are names
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


def shown(tree: ast.Module) -> Iterator[str]:
    """Strings of a module that are words for people.

    Of docstrings only those of commands are; messages of errors stay English, as the names of
    keys in them do.
    """
    hidden = {id(part) for node in ast.walk(tree) for part in _hidden(node)}
    for node in ast.walk(tree):
        if id(node) in hidden or not isinstance(node, ast.Constant):
            continue
        if isinstance(node.value, str) and _is_text(node.value):
            yield cleandoc(node.value) if node.value.count("\n    ") else node.value


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
    if text in _ONE_WORD:
        return True
    return bool(_LETTERS.search(text)) and (" " in text or text[0].isupper()) and "(?" not in text


def made() -> dict[str, set[str]]:
    """Every text with the places it stands in."""
    found: dict[str, set[str]] = {}
    for text, where in (*texts_of_rules(default_rules_folder()), *texts_of_code()):
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
