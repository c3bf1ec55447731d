"""ASCII output keeps what text says."""

from __future__ import annotations

import io
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walltriage.interview.plain import AsciiStream, can_draw, to_ascii
from walltriage.interview.screen import Screen


def test_drawings_become_look_alikes_of_the_same_width():
    """A sketch keeps its shape."""
    sketch = "┌──┬──┐\n│  ║▒▒│\n╰╱╲┴──╯ →"
    assert to_ascii(sketch) == "+--+--+\n|  |##|\n+/\\+--+ >"


def test_words_stay_readable():
    """Accents and typographic marks give way; other scripts are escaped, not dropped."""
    assert to_ascii("Küche – ‘L/360’ ½ × 3") == "Kuche - 'L/360' 1/2 x 3"
    assert to_ascii("壁") == "\\u58c1"


@given(st.text())
def test_everything_becomes_ascii(text):
    """Whatever comes in."""
    assert to_ascii(text).isascii()


def test_stream_passes_on_the_rest():
    """Only writing differs from the stream underneath."""
    under = io.StringIO()
    stream = AsciiStream(under)
    assert stream.write("│é") == 2
    assert under.getvalue() == "|e"
    assert not stream.isatty()


def test_encodings_that_can_draw():
    """UTF-8 can, Latin-1 cannot."""
    assert can_draw(io.TextIOWrapper(io.BytesIO(), encoding="utf-8"))
    assert not can_draw(io.TextIOWrapper(io.BytesIO(), encoding="latin-1"))


@pytest.mark.parametrize("ascii_only", [False, True])
def test_each_answer_of_the_list_stays_on_its_line(monkeypatch, ascii_only):
    """Dots that show what was cut are wider in ASCII."""
    shown = io.StringIO()
    monkeypatch.setattr(sys, "stdout", shown)
    monkeypatch.setenv("COLUMNS", "80")
    screen = Screen(ascii_only)
    rows = [(str(n), "How thick is the wall, " * n, "Nobody has said … " * n) for n in range(1, 9)]
    screen.answers(rows)
    lines = shown.getvalue().splitlines()
    assert len(lines) == len(rows)
    assert max(map(len, lines)) <= 80
