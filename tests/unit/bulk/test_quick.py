"""The quick ways to read many walls read what the careful way reads, and tell the same mistakes."""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pytest

from tests.unit.bulk.case_lines import csv_rows, json_lines, random_case
from walltriage.bulk import quick_json, quick_table
from walltriage.bulk.blocks import Block
from walltriage.bulk.read import BlockReader
from walltriage.inference.columns.evaluator import ColumnEvaluator

pytestmark = pytest.mark.extras
NASTY = (
    b'"', b":", b",", b"{", b"}", b"\\", b"\\u00e9", b"\\ud800", b"\xff", b"\x00", b"\r", b" ",
    b"-1", b"1e9", b"true", b"null", b"NaN", b'"name": "a", ', b'"sure": "guess", ', b"'", b";",
    b"\t", "\u00e9".encode(), b"99999999999999999999", b"1.0", b"unknown", b'"",', b'""',
)  # fmt: skip


@pytest.fixture(scope="module")
def columns(small) -> ColumnEvaluator:
    """The small rules for many walls."""
    return ColumnEvaluator(small.base)


def spoiled(text: bytes, seed: int) -> bytes:
    """The text with a few bytes put in, taken out or doubled."""
    draw = random.Random(seed)
    for _ in range(draw.randint(1, 3)):
        at = draw.randrange(len(text))
        until = min(len(text), at + draw.choice((0, 0, 1, 3, 12)))
        kept = text[at:until] * draw.choice((0, 0, 1, 2))
        text = text[:at] + draw.choice(NASTY) + kept + text[until:]
    return text


def careful(columns: ColumnEvaluator, block: Block, monkeypatch) -> tuple:
    """What the careful way reads."""
    with monkeypatch.context() as patch:
        patch.setattr(quick_json, "msgspec", None)
        patch.setattr(quick_table, "there", False)
        return BlockReader(columns).read([block])


def assert_same(ours: tuple, theirs: tuple) -> None:
    """The same walls, answers and problems."""
    (batch, gathered), (other, expected) = ours, theirs
    assert gathered.refs == expected.refs
    assert gathered.problems == expected.problems
    assert (gathered.cases, gathered.bad) == (expected.cases, expected.bad)
    for name in ("codes", "sure", "numbers"):
        np.testing.assert_array_equal(getattr(batch, name), getattr(other, name))


def blocks_of(columns: ColumnEvaluator, kind: str, delimiter: str = ",") -> Block:
    cases = [random_case(columns.base, seed, 0.5, walls=1 + seed % 2) for seed in range(60)]
    cases = [
        replace(case, units=("ft", "in", "m")[n % 3] if n > 40 else "ft")
        for n, case in enumerate(cases)
    ]
    if kind == "jsonl":
        return Block("walls.jsonl", "jsonl", 1, json_lines(cases).encode())
    head, rows = csv_rows(columns.base, cases).replace(",", delimiter).encode().split(b"\n", 1)
    return Block("walls.csv", "csv", 2, rows, head)


@pytest.mark.parametrize(("kind", "delimiter"), [("jsonl", ","), ("csv", ","), ("csv", ";")])
def test_quick_reads_what_careful_reads(columns, monkeypatch, kind, delimiter):
    """Files in order, and two hundred with lines that are not."""
    block = blocks_of(columns, kind, delimiter)
    ours = BlockReader(columns).read([block])
    assert_same(ours, careful(columns, block, monkeypatch))
    assert len(ours[1].refs) > 60
    assert not ours[1].problems
    lines = block.data.split(b"\n")[:-1]
    reader = BlockReader(columns)
    for seed in range(200):
        draw = random.Random(seed)
        some = draw.sample(lines, 6)
        some[::2] = [spoiled(line, seed * 10 + n) for n, line in enumerate(some[::2])]
        bad = replace(block, data=b"\n".join(some) + draw.choice((b"", b"\n", b"\r\n", b"\n\n")))
        assert_same(reader.read([bad]), careful(columns, bad, monkeypatch))


@pytest.mark.extras
def test_lines_in_order_go_the_quick_way(columns, monkeypatch):
    """Not one of them is read with care, or nothing would be gained."""
    pytest.importorskip("msgspec")
    monkeypatch.setattr(BlockReader, "_json_line", None)
    block = blocks_of(columns, "jsonl")
    assert len(BlockReader(columns).read([block])[1].refs) > 60


@pytest.mark.parametrize(
    "line",
    [
        b'{"schema":"walltriage/case/1","walls":[{"id":"w1"}],"name":"a","name":"b"}',
        b'{"schema":"walltriage/case/1","walls":[{"id":"w1"}],"name" :"a:b","name":"b"}',
        b'{"schema":"walltriage/case/1","walls":[{"id":"w1","id":"w1"}]}',
        b'{"schema":"walltriage/case/1","name":"a:b","house":{"x":1,"x":1},"walls":[{"id":"w"}]}',
    ],
)
def test_keys_that_stand_twice_are_told(columns, monkeypatch, line):
    """A decoder that keeps one of them does not hide that."""
    block = Block("walls.jsonl", "jsonl", 1, line)
    ours = BlockReader(columns).read([block])
    assert "duplicate key" in ours[1].problems[0].what
    assert_same(ours, careful(columns, block, monkeypatch))


def test_what_is_remembered_is_bounded(columns, monkeypatch):
    """Answers nobody gave before are forgotten again, and read no differently."""
    monkeypatch.setattr(quick_json, "MOST_REMEMBERED", 20)
    monkeypatch.setattr("walltriage.bulk.read.MOST_REMEMBERED", 5)
    block, reader = blocks_of(columns, "jsonl"), BlockReader(columns)
    expected = careful(columns, block, monkeypatch)
    for _ in range(3):
        assert_same(reader.read([block]), expected)
        assert len(reader.tables.measured) < 500
