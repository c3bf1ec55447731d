"""Bytes changed at random, with the words that matter to the readers mixed in."""

from __future__ import annotations

import random

MOST_BYTES = 200_000  # of a mutated input
WORDS = (
    b"schema: walltriage/case/1", b"walls:", b"house:", b"plan:", b"answers", b"value", b"sure",
    b"unknown", b"out_of_reach", b"guess", b"drawing: {of: outline, replies: [", b"asked: [house/",
    b"units: mm", b"sure: checked", b"sure: certain", b"@house_itself", b"@", b"to_name: [w1/",
    b"client: {", b"looks: {seen: [", b"unseen: {", b"seen: {", b"names: [", b"of: ",
    b"&a", b"*a", b"<<: *a", b"!!bool x", b"!!binary x", b"!!set", b"? ", b"- ",
    b"|\n", b">-\n", b"---\n", b"...\n", b"%YAML 9.9\n", b"\\ud83d\\ude00", b"\\ud800", b"\\u0000",
    b"\x00", b"\xff\xfe", b"\xef\xbb\xbf", b"\xed\xa0\x80", b"\xe2\x80\xae", b"\x1b[2J", b"\r",
    b"\t", b'"', b"'", b'""', b",", b";", b"{", b"}", b"[" * 60, b"]", b"1e999", b"-1", b".inf",
    b".nan", b"NaN", b"9" * 400, b"0x" + b"f" * 200, b"1:" * 60, b"1/0 ft", b"12' 6\"", b"null",
    b"true", b"~", b"1 " * 200, b"a: " * 30, b"\n\n\n", b"=1+1", "１２ ft".encode(), "ſ".encode(),
)  # fmt: skip


def mutated(data: bytes, others: tuple[bytes, ...], draw: random.Random) -> bytes:
    """``data`` with one to eight changes; ``others`` are inputs to borrow from."""
    found = bytearray(data)
    for _ in range(draw.choice((1, 1, 1, 2, 3, 5, 8))):
        _change(found, others, draw)
    return bytes(found[:MOST_BYTES])


def _change(data: bytearray, others: tuple[bytes, ...], draw: random.Random) -> None:
    at = draw.randrange(len(data) + 1)
    end = min(at + draw.choice((1, 1, 2, 4, 16, 200)), len(data))
    match draw.randrange(9):
        case 0:
            del data[at:end]
        case 1:
            data[at:at] = draw.choice(WORDS)
        case 2:
            data[at:end] = draw.choice(WORDS)
        case 3:
            data[at:at] = data[at:end] * draw.choice((1, 2, 50))
        case 4:
            data[at:at] = draw.randbytes(draw.choice((1, 3)))
        case 5 if at < len(data):
            data[at] ^= 1 << draw.randrange(8)
        case 6:
            other = draw.choice(others)
            start = draw.randrange(len(other) + 1)
            data[at:at] = other[start : start + draw.choice((10, 100, 1000))]
        case 7:
            lines = data.split(b"\n")
            one, two = draw.randrange(len(lines)), draw.randrange(len(lines))
            lines[one], lines[two] = lines[two], lines[one]
            data[:] = b"\n".join(lines)
        case _:
            del data[at:]
