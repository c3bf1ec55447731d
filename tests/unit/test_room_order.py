"""Imports run one way through the rooms, and terminal libraries stay at the front."""

from __future__ import annotations

import ast
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

from walltriage.knowledge.rule_kinds import KINDS

SRC = Path(__file__).resolve().parents[2] / "src" / "walltriage"
INFERENCE = {"knowledge", "case", "structure", "inference"}
BELOW = {
    "knowledge": set(),
    "case": set(),
    "structure": {"case"},
    "inference": {"knowledge", "case", "structure"},
    "rule_testing": INFERENCE,
    "report": INFERENCE,
    "bulk": INFERENCE,
    "lab": INFERENCE,
    "prove": INFERENCE | {"rule_testing", "lab"},
    "interview": INFERENCE | {"report"},
    "desk": INFERENCE | {"report", "interview", "lab"},
}
FRONT_ENDS = ("interview/", "report/terminal", "report/house_terminal", "commands/")
MODULES = sorted(SRC.rglob("*.py"))


@cache
def imported(path: Path) -> set[str]:
    """Every module name a file imports, anywhere in it."""
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names.add(node.module)
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return names


def modules_of(root: Path) -> dict[str, Path]:
    """Files by the names they are imported by."""
    found = {}
    for path in root.rglob("*.py"):
        parts = (root.name, *path.relative_to(root).with_suffix("").parts)
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


def circle(root: Path) -> list[str]:
    """Modules that import each other in a circle, wherever the imports stand; [] if none do."""
    modules = modules_of(root)
    order = TopologicalSorter(
        {name: (imported(path) & modules.keys()) - {name} for name, path in modules.items()}
    )
    try:
        order.prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def test_no_modules_import_each_other():
    """Not even for types only: each module can be read after the ones it imports."""
    assert circle(SRC) == []


def test_a_circle_would_be_found(tmp_path):
    """An import for types and one inside a function close a circle like any other."""
    root = tmp_path / "house"
    root.mkdir()
    (root / "__init__.py").write_text("")
    (root / "a.py").write_text("def f():\n    from house import b\n")
    (root / "b.py").write_text("if TYPE_CHECKING:\n    from house.a import f\n")
    assert set(circle(root)) == {"house.a", "house.b"}


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(SRC)))
def test_imports_follow_the_rooms(path):
    """A room imports only the rooms under it, and the base modules."""
    room = path.relative_to(SRC).parts[0]
    for name in imported(path):
        parts = name.split(".")
        if parts[0] != "walltriage" or len(parts) < 2 or parts[1] not in BELOW:
            continue
        if room in BELOW:
            assert parts[1] in BELOW[room] | {room}, name


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(SRC)))
def test_terminal_libraries_stay_in_front(path):
    """rich and questionary appear only where something is drawn on a terminal."""
    where = path.relative_to(SRC).as_posix()
    tops = {name.split(".")[0] for name in imported(path)}
    if not where.startswith(FRONT_ENDS):
        assert not tops & {"rich", "questionary", "prompt_toolkit", "click"} or where == "cli.py"


# who may ask what people said, without what follows from it: the way to the answers that count,
# and the planner, which asks where somebody could not go
WHAT_PEOPLE_SAID = {
    "case/model.py",
    "inference/answers.py",
    "inference/numbers/what_if.py",
    "inference/relations/house_answers.py",
    "inference/relations/plan_answers.py",
    "interview/planner.py",
    "commands/photos.py",
    "interview/so_far.py",
}


def test_one_way_to_the_answers_that_count():
    """Nobody else goes past the plan, the other walls and the arithmetic."""
    found = {
        path.relative_to(SRC).as_posix()
        for path in MODULES
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if getattr(node, "attr", getattr(node, "name", "")) == "answers_for"
    }
    assert found == WHAT_PEOPLE_SAID


WEB = {"starlette", "uvicorn", "sqlalchemy", "alembic", "argon2", "PIL"}


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(SRC)))
def test_web_libraries_stay_at_the_desk(path):
    """Whoever judges a wall needs neither a server nor a database."""
    tops = {name.split(".")[0] for name in imported(path)}
    assert not tops & WEB or path.relative_to(SRC).parts[0] == "desk"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(SRC)))
def test_experta_stays_in_its_shim(path):
    """Only the shim imports experta."""
    where = path.relative_to(SRC).as_posix()
    tops = {name.split(".")[0] for name in imported(path)}
    assert "experta" not in tops or where == "inference/engine/_experta.py"


# whoever means one kind of rule, and would mean it if there were others
ONE_KIND = {
    "knowledge/lints/fire.py": {"sign"},  # a lint of signs
    "inference/belief/columns.py": {"clue"},  # where the reports of clues are
    "inference/belief/signs.py": {"sign"},  # what a sign settles
    "prove/encode.py": {"sign", "base_rate"},  # what a path's belief is made of
    "inference/looks/unsettling.py": {"contradiction", "gate"},  # what stops; a mere clash does not
}


def test_the_kinds_of_rules_are_told_apart_in_one_place():
    """A comparison with a kind's name stands nowhere but where that one kind is meant."""
    found: dict[str, set[str]] = {}
    for room in ("knowledge", "inference", "prove", "rule_testing", "commands"):
        for path in (SRC / room).rglob("*.py"):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Compare) and _reads_a_rule_kind(node.left):
                    words = {n.value for n in ast.walk(node) if isinstance(n, ast.Constant)}
                    if words & KINDS.keys():
                        where = path.relative_to(SRC).as_posix()
                        found.setdefault(where, set()).update(words & KINDS.keys())
    found = {where: words - ONE_KIND.get(where, set()) for where, words in found.items()}
    assert {where: words for where, words in found.items() if words} == {}


def _reads_a_rule_kind(node: ast.expr) -> bool:
    """``kind``, or ``.kind`` of something that is no question, reason or line of a plan."""
    if isinstance(node, ast.Name):
        return node.id == "kind"
    return (
        isinstance(node, ast.Attribute)
        and node.attr == "kind"
        and isinstance(node.value, ast.Name)
        and node.value.id in ("item", "rule", "i", "firing")
    )
