"""Whole reports against files that were looked at; ``python -m tests.golden.remake`` makes them."""

from __future__ import annotations

import pytest

from tests.golden.remake import GOLDEN, HERE, golden_text
from tests.unit.report.conftest import REPORT_RULES
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge


@pytest.fixture(scope="module")
def triager():
    """The knowledge base of the report tests."""
    return Triager(load_knowledge(REPORT_RULES))


@pytest.mark.parametrize("name", GOLDEN)
def test_report_is_as_looked_at(triager, name):
    """Any change of wording, order or drawing shows up here."""
    if name.endswith(".pdf.txt"):
        pytest.importorskip("pypdf")
    assert golden_text(triager, name) == (HERE / name).read_text(encoding="utf-8")


def test_no_stray_golden_file():
    """Every file there is compared."""
    kept = {path.name for path in HERE.iterdir() if path.suffix not in (".py", "")}
    assert kept == set(GOLDEN)
