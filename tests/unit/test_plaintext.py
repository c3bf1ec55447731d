"""Text from people is harmless to print."""

from __future__ import annotations

import sys

from hypothesis import given
from hypothesis import strategies as st

from walltriage.plaintext import _shown, printable


def test_escapes_become_visible():
    """Terminal escapes, bells and direction marks show as what they are."""
    assert printable("a\x1b[31mred\x07") == "a\\x1b[31mred\\x07"
    assert printable("ab\u202ecd") == "ab\\u202ecd"
    assert printable("two\nlines") == "two lines"


def test_ordinary_text_is_untouched():
    """Markup, emoji codes and other scripts are left alone."""
    text = "Küche [bold]wall[/] :key: 壁 <b>&amp;"
    assert printable(text) == text


def test_what_python_prints_as_it_is_hides_nothing():
    """No code point that wants an escape counts as printable, so such a text is left alone."""
    for point in range(sys.maxunicode + 1):
        letter = chr(point)
        assert letter == " " or not letter.isprintable() or _shown(letter) == letter


@given(st.text())
def test_nothing_unprintable_is_left(text):
    """No control character survives, whatever comes in."""
    assert all(ord(c) >= 32 and ord(c) != 127 for c in printable(text))
