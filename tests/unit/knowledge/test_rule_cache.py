"""Cached rules give the same knowledge base, and never another one."""

from __future__ import annotations

import os
import pickle
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.conftest import RULES, SMALL_RULES
from walltriage.errors import InputError
from walltriage.knowledge import reading, rule_cache
from walltriage.knowledge.load import load_knowledge

PARTS = ("questions", "paths", "facts", "scope", "contradictions", "guards", "cautions", "measures",
         "sources", "glossary", "folder", "sha256", "places")  # fmt: skip


@pytest.fixture
def parsed(monkeypatch):
    """Names of the rule files that were parsed as YAML."""
    names, parse = [], reading.load
    monkeypatch.setattr(reading, "load", lambda path: names.append(path.name) or parse(path))
    return names


@pytest.mark.parametrize("folder", [SMALL_RULES, RULES], ids=["small", "shipped"])
def test_the_same_without_parsing(tmp_path, parsed, folder):
    """The second time nothing is parsed, and every part is equal."""
    first = load_knowledge(folder, tmp_path / "cache")
    assert parsed
    parsed.clear()
    second = load_knowledge(folder, tmp_path / "cache")
    assert parsed == []
    for part in PARTS:
        assert getattr(first, part) == getattr(second, part), part
    assert dict(second.anchors).keys() == dict(first.anchors).keys()
    assert len(second.anchors) == len(first.anchors)
    some = next(iter(first.anchors))
    assert second.anchors[some][1] == first.anchors[some][1]


def filled(file, data):
    """A cached file with other content under the same key, its digest in order."""
    name = file.name.removesuffix(rule_cache.SUFFIX)
    file.write_bytes(rule_cache.head(name, data) + data)


class Harm:
    """Would touch a file when unpickled by one who trusts it."""

    def __init__(self, path):
        self.path = path

    def __reduce__(self):
        return Path.touch, (self.path,)


def damage(file, how, tmp_path):
    """Make a cached file into what must not be used."""
    head, data = file.read_bytes().split(b"\n", 1)
    if how == "cut short":
        file.write_bytes(file.read_bytes()[:1000])
    elif how == "one byte changed":
        file.write_bytes(head + b"\n" + data[:500] + bytes([data[500] ^ 1]) + data[501:])
    elif how == "no pickle":
        filled(file, b"\x80\x04\x95")
    elif how == "of another form":
        file.write_bytes(head.replace(b"rules/3", b"rules/2") + b"\n" + data)
    elif how == "under another key":
        file.write_bytes(rule_cache.head("0" * 64, data) + data)
    elif how == "something else":
        filled(file, pickle.dumps(["guards.yaml"]))
    elif how == "harmful":
        filled(file, pickle.dumps(Harm(tmp_path / "harmed")))
    else:
        file.chmod(0o666)


@pytest.mark.parametrize(
    "how",
    ["cut short", "one byte changed", "no pickle", "of another form", "under another key",
     "something else", "harmful", "writable by others"],
)  # fmt: skip
def test_damaged_or_foreign_files_are_read_anew(tmp_path, parsed, how):
    """Whatever is wrong with the cached file, the rules are read, and cached again."""
    load_knowledge(SMALL_RULES, tmp_path)
    (file,) = tmp_path.glob(f"*{rule_cache.SUFFIX}")
    good = file.read_bytes()
    damage(file, how, tmp_path)
    parsed.clear()
    base = load_knowledge(SMALL_RULES, tmp_path)
    assert "guards.yaml" in parsed
    assert base.guards == load_knowledge(SMALL_RULES).guards
    assert not (tmp_path / "harmed").exists()
    assert file.read_bytes() == good
    assert file.stat().st_mode & 0o077 == 0


STARTED = """
import sys
from pathlib import Path
from walltriage.commands.common import load_triager
load_triager(Path(sys.argv[1]))
print("pydantic" in sys.modules)
"""


def test_nothing_is_checked_of_rules_that_were_checked(tmp_path):
    """Whoever starts the program again does not wait for what checks the forms of rules."""
    environment = os.environ | {"XDG_CACHE_HOME": str(tmp_path)}
    command = [sys.executable, "-c", STARTED, str(SMALL_RULES)]
    first, second = (subprocess.check_output(command, env=environment, text=True) for _ in range(2))
    assert (first, second) == ("True\n", "False\n")


def test_changed_rules_are_read_anew(tmp_path):
    """One byte more in a rule file, and what is cached does not count."""
    folder = tmp_path / "rules"
    shutil.copytree(SMALL_RULES, folder)
    before = load_knowledge(folder, tmp_path / "cache")
    guards = folder / "guards.yaml"
    guards.write_text(guards.read_text().replace("small-1", "small-2"))
    after = load_knowledge(folder, tmp_path / "cache")
    assert (before.version, after.version) == ("small-1", "small-2")


def test_another_language_is_cached_apart(monkeypatch, tmp_path):
    """Each under its own words; what nothing tells apart is read every time."""
    cache, asked = tmp_path / "cache", []

    def loud(text):
        asked.append(text)
        return text.upper()

    english = load_knowledge(SMALL_RULES, cache)
    first = load_knowledge(SMALL_RULES, cache, loud, "loud")
    asked.clear()
    assert load_knowledge(SMALL_RULES, cache, loud, "loud") == first
    assert not asked
    title = next(iter(first.paths.values())).entry.title
    assert title == next(iter(english.paths.values())).entry.title.upper()
    assert load_knowledge(SMALL_RULES, cache) == english != first
    assert load_knowledge(SMALL_RULES, cache, str.lower, "low") not in (english, first)
    load_knowledge(SMALL_RULES, cache, loud)
    assert asked


def test_broken_rules_are_never_cached(tmp_path):
    """Rules with a mistake are told every time."""
    folder = tmp_path / "rules"
    shutil.copytree(SMALL_RULES, folder)
    (folder / "guards.yaml").write_text("version: [")
    for _ in range(2):
        with pytest.raises(InputError):
            load_knowledge(folder, tmp_path / "cache")
    assert not list(tmp_path.glob("cache/*"))


def test_another_program_does_not_share(monkeypatch, tmp_path):
    """The key changes with the code that reads and checks the rules."""
    before = rule_cache.key(SMALL_RULES, "0")
    (tmp_path / "knowledge").mkdir()
    monkeypatch.setattr(rule_cache, "_PACKAGE", tmp_path)
    assert rule_cache.key(SMALL_RULES, "0") != before


def test_only_a_few_are_cached(tmp_path):
    """Old files make room."""
    base = load_knowledge(SMALL_RULES)
    for number in range(rule_cache.MOST_CACHED + 3):
        rule_cache.write(tmp_path, f"k{number}", base)
    assert len(list(tmp_path.iterdir())) == rule_cache.MOST_CACHED


def test_an_unwritable_cache_does_no_harm(tmp_path):
    """A file where the folder should be: the rules are read as if there were no cache."""
    (tmp_path / "cache").write_text("in the way")
    assert load_knowledge(SMALL_RULES, tmp_path / "cache").version == "small-1"


def test_cache_folder_is_absolute(monkeypatch, tmp_path):
    """A relative XDG_CACHE_HOME is ignored, as the convention has it."""
    monkeypatch.setenv("XDG_CACHE_HOME", "here")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert rule_cache.cache_folder() == tmp_path / ".cache" / "walltriage"
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "x"))
    assert rule_cache.cache_folder() == tmp_path / "x" / "walltriage"
