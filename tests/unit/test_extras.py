"""Tests that need more than the extra ``test`` say so, and can be chosen by that."""

from __future__ import annotations

import ast
import tomllib
from pathlib import Path

import pytest

TESTS = Path(__file__).resolve().parents[1]
IN_TEST_EXTRA = {"pypdf"}


def needed(path: Path) -> set[str]:
    """The libraries without which tests of a file are skipped."""
    return {
        node.args[0].value.split(".")[0]
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call)
        and getattr(node.func, "attr", "") == "importorskip"
        and isinstance(node.args[0], ast.Constant)
    }


SKIPPING = [p for p in sorted(TESTS.rglob("test_*.py")) if needed(p) - IN_TEST_EXTRA]


@pytest.mark.parametrize("path", SKIPPING, ids=lambda path: path.name)
def test_whoever_skips_is_marked(path):
    """``pytest -m extras`` runs all that a machine with the extra ``test`` alone skips."""
    assert "mark.extras" in path.read_text(encoding="utf-8")


def test_every_skipping_file_is_found():
    """The search above sees what it is for."""
    assert {"test_prove.py", "test_cluster.py", "test_batch.py"} <= {p.name for p in SKIPPING}


def test_numpy_comes_with_the_program():
    """The main path of ``batch`` works without extras."""
    project = tomllib.loads((TESTS.parent / "pyproject.toml").read_text(encoding="utf-8"))
    names = [entry.split(">")[0].split("=")[0] for entry in project["project"]["dependencies"]]
    assert "numpy" in names
