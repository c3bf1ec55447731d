"""The quick ways to read many walls read what the careful way reads, and tell the same mistakes."""

from __future__ import annotations

import json
import random
from dataclasses import replace

import numpy as np
import pytest

from tests.unit.bulk.case_lines import csv_rows, json_lines, random_case
from walltriage.bulk import blocks, case_form, quick_csv, quick_json, quick_table
from walltriage.bulk.blocks import Block
from walltriage.bulk.csv import CsvReader
from walltriage.bulk.read import BlockReader
from walltriage.case.model import DEGREES, SURENESS_IN_FILES
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
        patch.setattr(case_form, "there", False)
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


@pytest.mark.parametrize("kind", ["jsonl", "csv"])
def test_lines_in_order_go_the_quick_way(columns, monkeypatch, kind):
    """Not one of them is read with care, or nothing would be gained; answers of every sureness."""
    pytest.importorskip("msgspec")
    monkeypatch.setattr(BlockReader, "_json_line", None)
    monkeypatch.setattr(CsvReader, "_with_care", None)
    block = blocks_of(columns, kind)
    if kind == "csv":  # one unit a block: it is that of the first line
        lines = block.data.splitlines(keepends=True)
        block = replace(block, data=b"".join(lines[:40]))
    batch, gathered = BlockReader(columns).read([block])
    assert len(gathered.refs) >= 40
    assert set(np.unique(batch.sure)) == {DEGREES.index(sure) for sure in SURENESS_IN_FILES}


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


@pytest.mark.parametrize("separators", [(", ", ": "), (",", ":"), (" ,", " :")])
def test_lines_are_read_in_blocks(columns, monkeypatch, separators):
    """However the writer spaced them, lines in order go by their columns, not one by one."""
    pytest.importorskip("msgspec")
    block = blocks_of(columns, "jsonl")
    spaced = [json.dumps(json.loads(line), separators=separators)
              for line in block.data.splitlines()]  # fmt: skip
    block = replace(block, data="\n".join(spaced).encode())
    expected = careful(columns, block, monkeypatch)
    monkeypatch.setattr(BlockReader, "_json_line", None)
    monkeypatch.setattr(quick_json.QuickJson, "read", None)
    assert_same(BlockReader(columns).read([block]), expected)


@pytest.mark.parametrize(
    "answers",
    [
        b'"above_wall": {"value": "attic", "note": "a, b"}',
        b'"above_wall": {"sure": "guess", "value": "attic"}',
        b'"above_wall": {"value": "attic", "by": "me", "sure": "guess"}',
        b'"above_wall": "attic", "sure": "guess"',
        b'"above_wall": {"value": "attic"}, "sure": "guess"}',
        b'"above_wall": {"value": "attic", "sure": "guess"}, "above_wall": "attic"',
        b'"above_wall": {"value": "attic", "sure": "guess", "sure": "certain"}',
        b'"above_wall": {"value": "attic", "sure": "no such word"}',
        b'"above_wall": {"value": "attic", "wall_length": "12 ft"}',
        b'"wall_length": "12 ft, 6 in"',
        b'"above_wall": {"value": "attic" "sure": "guess"}',
        b"",
        b" ",
    ],
)
def test_pieces_that_do_not_fit(columns, monkeypatch, answers):
    """Between commas each is in order, together they may not be: read or told as with care."""
    line = b'{"schema": "walltriage/case/1", "walls": [{"id": "w1", "answers": {%s}}]}' % answers
    block = Block("walls.jsonl", "jsonl", 1, b"\n".join((line, line, line)))
    ours = BlockReader(columns).read([block])
    assert_same(ours, careful(columns, block, monkeypatch))


@pytest.mark.parametrize("kind", ["jsonl", "csv"])
def test_blocks_are_whole_lines(tmp_path, monkeypatch, kind):
    """Cut anywhere, the blocks of a file are its lines, with their numbers; long ones are told."""
    monkeypatch.setattr(blocks, "MOST_RECORD_BYTES", 64)
    draw = random.Random(kind)
    for seed in range(200):
        monkeypatch.setattr(blocks, "BLOCK_BYTES", draw.choice((1, 7, 64, 100, 400)))
        lines = [draw.choice((b"a" * draw.randint(0, 70), b"", b" ", b'"b', b"c\r"))
                 for _ in range(draw.randint(0, 12))]  # fmt: skip
        path = tmp_path / f"{seed}.{kind}"
        path.write_bytes(b"\n".join(lines) + draw.choice((b"", b"\n")))
        shared = draw.random() < 0.5  # then blocks get smaller toward the end
        monkeypatch.setattr(blocks, "LEAST_BYTES", draw.choice((1, 7, 64)))
        found = list(blocks.blocks([path], shared))
        with monkeypatch.context() as patch:
            patch.setattr(blocks, "_whole_lines", lambda *_: None)
            expected = list(blocks.blocks([path]))
        assert numbered(found) == numbered(expected), lines
        assert [b.problem for b in found if b.problem] == [b.problem for b in expected if b.problem]


def numbered(found: list[Block]) -> list[tuple[int, bytes]]:
    """Each line of some blocks with its number in the file."""
    return [
        (block.line + index, line)
        for block in found
        if block.problem is None
        for index, line in enumerate(block.data.splitlines(keepends=True))
    ]


def test_walls_without_answers_are_walls(columns, monkeypatch):
    """First, in the middle and last: each has its row, as the careful way gives it."""
    line = b'{"schema": "walltriage/case/1", "walls": [{"id": "w1"%s}, {"id": "w2"%s}]}'
    told = b', "answers": {"above_wall": "attic"}'
    lines = [
        line % pair for pair in ((b"", told), (told, b""), (b"", b""), (b', "answers": {}', b""))
    ]
    block = Block("walls.jsonl", "jsonl", 1, b"\n".join(lines))
    ours = BlockReader(columns).read([block])
    assert len(ours[1].refs) == 8
    assert_same(ours, careful(columns, block, monkeypatch))


def test_distinct_cells_beyond_what_a_place_is_kept_for(columns, monkeypatch):
    """A table of very many different cells is read no differently."""
    block = blocks_of(columns, "csv")
    expected = BlockReader(columns).read([block])
    monkeypatch.setattr(quick_csv, "MOST_PAIRS", 10)
    assert_same(BlockReader(columns).read([block]), expected)
