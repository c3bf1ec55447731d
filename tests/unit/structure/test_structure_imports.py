"""The arithmetic imports base modules, what a plan is, and the standard library: nothing else."""

import ast
import sys
from pathlib import Path

import pytest

ROOM = Path(__file__).parents[3] / "src" / "walltriage" / "structure"
BASE = (
    "walltriage.errors",
    "walltriage.language",
    "walltriage.units",
    "walltriage.yamltree",
    "walltriage.structure",
    "walltriage.case.geometry",
    "walltriage.case.plan",
)


def imported(path: Path) -> list[str]:
    names = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            names.append(node.module or "")
    return names


@pytest.mark.parametrize("path", sorted(ROOM.glob("*.py")), ids=lambda path: path.name)
def test_imports(path: Path) -> None:
    for name in imported(path):
        allowed = name.split(".")[0] in sys.stdlib_module_names or name.startswith(BASE)
        assert allowed, f"{path.name} imports {name}"
        assert name not in ("time", "datetime", "random"), (
            "no clock and no chance in the arithmetic"
        )


def test_nothing_is_printed() -> None:
    for path in ROOM.glob("*.py"):
        calls = [
            node.func.id
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
        ]
        assert "print" not in calls
