"""A public class name means one thing in the whole package."""

from __future__ import annotations

import ast
from collections import defaultdict
from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[2] / "src" / "walltriage"

# one thing seen from two sides: the wall of a case file, and the wall of a simulated house, whose
# file belongs to the fingerprint of the held-out houses and must not change
SHARED = {"Wall"}


def test_no_class_name_is_met_twice() -> None:
    where: dict[str, list[str]] = defaultdict(list)
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                where[node.name].append(f"{path.relative_to(PACKAGE)}:{node.lineno}")
    twice = {name: places for name, places in where.items() if len(places) > 1}
    assert set(twice) == SHARED, twice
