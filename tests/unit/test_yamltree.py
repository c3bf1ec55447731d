"""YAML with places."""

from __future__ import annotations

import pytest

from walltriage.errors import InputError
from walltriage.yamltree import load, parse


def test_plain_data_and_places():
    """Keys and items know their line and column; yes, no and dates stay words."""
    tree = parse("a: [1, {b: 2}]\nyes: no\nseen_on: 2026-03-01\nflag: true\n", "f.yaml")
    assert tree.data == {"a": [1, {"b": 2}], "yes": "no", "seen_on": "2026-03-01", "flag": True}
    assert tree.place(("a", 1, "b")) == (1, 9)
    assert tree.place(("yes", "deeper")) == (2, 1)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a: 1\nb: 2\na: 3", "f.yaml:3:1: duplicate key 'a'; first at line 1; keep one"),
        ("a: [1", "f.yaml:2:1: not readable as YAML"),
        ("a: !!python/object/apply:os.system ['true']", "could not determine a constructor"),
        ("&x [*x]", "an anchor that contains itself"),
        ("? [1, 2]\n: 3", "f.yaml:1:3: a key that is not a word"),
        ("a: \x00", "not readable as YAML"),
        ("[" * 5000, "f.yaml"),
    ],
)
def test_refused(text, message):
    """Each mistake is one InputError that names the place."""
    with pytest.raises(InputError) as caught:
        parse(text, "f.yaml")
    assert message in str(caught.value)


def test_repeated_anchors_do_not_explode():
    """Ten levels of tenfold repetition are refused, not expanded."""
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]" for n in range(1, 10)]
    with pytest.raises(InputError, match="more than 100,000 entries"):
        parse("\n".join(lines), "f.yaml")


def test_missing_file_and_other_bytes(tmp_path):
    """A missing file and bytes that are no UTF-8 are told by name."""
    with pytest.raises(InputError, match="no such file"):
        load(tmp_path / "none.yaml")
    bad = tmp_path / "bad.yaml"
    bad.write_bytes(b"a: \xff\xfe")
    with pytest.raises(InputError, match="not UTF-8 text"):
        load(bad)
