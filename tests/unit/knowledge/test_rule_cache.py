"""Cached rules give the same knowledge base, and never another one."""

from __future__ import annotations

import json
import shutil

import pytest

from tests.conftest import RULES, SMALL_RULES
from walltriage.errors import InputError
from walltriage.knowledge import load as loading
from walltriage.knowledge import rule_cache
from walltriage.knowledge.load import load_knowledge

PARTS = ("questions", "paths", "facts", "scope", "contradictions", "guards", "cautions", "measures",
         "sources", "glossary", "folder", "sha256", "places")  # fmt: skip


@pytest.fixture
def parsed(monkeypatch):
    """Names of the rule files that were parsed as YAML."""
    names, parse = [], loading.load
    monkeypatch.setattr(loading, "load", lambda path: names.append(path.name) or parse(path))
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


def damage(file, how):
    """Make a cached file into what must not be used."""
    data = json.loads(file.read_text())
    if how == "cut short":
        file.write_text(file.read_text()[:1000])
    elif how == "binary":
        file.write_bytes(b"\x80\x04\x95")
    elif how == "of another form":
        file.write_text(json.dumps(data | {"form": "other"}))
    elif how == "under another key":
        file.write_text(json.dumps(data | {"key": "0" * 64}))
    elif how == "lacking a file":
        del data["files"]["guards.yaml"]
        file.write_text(json.dumps(data))
    elif how == "against the schema":
        data["files"]["guards.yaml"]["version"] = 3
        file.write_text(json.dumps(data))
    elif how == "a list":
        file.write_text("[]")
    else:
        file.chmod(0o666)


@pytest.mark.parametrize(
    "how",
    ["cut short", "binary", "of another form", "under another key", "lacking a file",
     "against the schema", "a list", "writable by others"],
)  # fmt: skip
def test_damaged_or_foreign_files_are_read_anew(tmp_path, parsed, how):
    """Whatever is wrong with the cached file, the rules are read, and cached again."""
    load_knowledge(SMALL_RULES, tmp_path)
    (file,) = tmp_path.glob("*.json")
    good = file.read_text()
    damage(file, how)
    parsed.clear()
    base = load_knowledge(SMALL_RULES, tmp_path)
    assert "guards.yaml" in parsed
    assert base.guards == load_knowledge(SMALL_RULES).guards
    assert file.read_text() == good
    assert file.stat().st_mode & 0o077 == 0


def test_changed_rules_are_read_anew(tmp_path):
    """One byte more in a rule file, and what is cached does not count."""
    folder = tmp_path / "rules"
    shutil.copytree(SMALL_RULES, folder)
    before = load_knowledge(folder, tmp_path / "cache")
    guards = folder / "guards.yaml"
    guards.write_text(guards.read_text().replace("small-1", "small-2"))
    after = load_knowledge(folder, tmp_path / "cache")
    assert (before.version, after.version) == ("small-1", "small-2")


def test_broken_rules_are_never_cached(tmp_path):
    """Rules with a mistake are told every time."""
    folder = tmp_path / "rules"
    shutil.copytree(SMALL_RULES, folder)
    (folder / "guards.yaml").write_text("version: [")
    for _ in range(2):
        with pytest.raises(InputError):
            load_knowledge(folder, tmp_path / "cache")
    assert not list(tmp_path.glob("cache/*.json"))


def test_another_program_does_not_share(monkeypatch, tmp_path):
    """The key changes with the code that reads and checks the rules."""
    before = rule_cache.key(SMALL_RULES, "0")
    (tmp_path / "knowledge").mkdir()
    monkeypatch.setattr(rule_cache, "_PACKAGE", tmp_path)
    assert rule_cache.key(SMALL_RULES, "0") != before


def test_only_a_few_are_cached(tmp_path):
    """Old files make room."""
    for number in range(rule_cache.MOST_CACHED + 3):
        rule_cache.write(tmp_path, f"k{number}", rule_cache.CachedRules({}, {}))
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
