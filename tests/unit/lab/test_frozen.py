"""Houses and people are those that the method names: whoever changes them tells it there."""

from __future__ import annotations

import hashlib
from pathlib import Path

from walltriage.lab.run import generator_version

TESTS = Path(__file__).resolve().parents[2]
METHOD = (TESTS.parent / "docs" / "method.md").read_text(encoding="utf-8")


def test_our_houses_and_people_are_the_frozen_ones():
    """Changed on purpose: only harder, with the new hash and the reason in "The measure"."""
    assert f"`{generator_version()}`" in METHOD


def test_the_second_family_is_the_frozen_one():
    """The same for the second family."""
    digest = hashlib.sha256()
    for path in sorted((TESTS / "second_family").glob("*.py")):
        digest.update(path.read_bytes())
    assert f"`{digest.hexdigest()[:12]}`" in METHOD
