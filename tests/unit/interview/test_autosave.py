"""Keeping an interview: the right place, readable by its owner alone, never over another file."""

from __future__ import annotations

import os
import stat
from dataclasses import replace
from pathlib import Path

import pytest

from walltriage.case.model import Answer, Case, Step, Wall
from walltriage.errors import InputError
from walltriage.interview.autosave import (
    ChangedElsewhere,
    Keeper,
    check_place,
    free_name,
    state_folder,
    unfinished,
)

CASE = Case(
    name="14 Elm",
    walls=(Wall("wall1", "kitchen \x1b[31m", {"above_wall": Answer("attic", None, "attic")}),),
    asked=(Step("wall1", "above_wall"),),
)


def test_state_folder_follows_the_standard(monkeypatch, tmp_path):
    """An absolute XDG_STATE_HOME is used, a relative or empty one ignored."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "s"))
    assert state_folder() == tmp_path / "s" / "walltriage"
    for ignored in ("state", "", "./x"):
        monkeypatch.setenv("XDG_STATE_HOME", ignored)
        assert state_folder() == tmp_path / ".local" / "state" / "walltriage"


def test_saved_file_is_private_and_read_back(tmp_path, small):
    """What was saved is found as unfinished, with the same answers and name."""
    keeper = Keeper.new_in(tmp_path / "deep" / "state", CASE.name)
    keeper.save(CASE)
    assert stat.S_IMODE(keeper.path.stat().st_mode) == 0o600
    assert stat.S_IMODE(keeper.path.parent.stat().st_mode) == 0o700
    assert keeper.path.name == "14-elm.yaml"
    found, wrong = unfinished(keeper.path.parent, small.base.questions)
    assert [item.case for item in found] == [CASE]
    assert wrong == []


def test_newest_first_and_finished_ones_left_out(tmp_path, small):
    """Only what still needs answers is offered, the latest on top."""
    for number, name in enumerate(("old", "new", "done")):
        keeper = Keeper.new_in(tmp_path, name)
        keeper.save(replace(CASE, name=name, outcome={"walls": []} if name == "done" else None))
        os.utime(keeper.path, (1000 + number, 1000 + number))
    found, _ = unfinished(tmp_path, small.base.questions)
    assert [item.case.name for item in found] == ["new", "old"]


def test_foreign_file_is_told_and_kept(tmp_path, small):
    """A file of another program is reported, and not a byte of it changes."""
    foreign = tmp_path / "14-elm.yaml"
    foreign.write_text("somebody: else\n")
    found, wrong = unfinished(tmp_path, small.base.questions)
    assert found == []
    assert "no schema" in str(wrong[0])
    keeper = Keeper.new_in(tmp_path, "14 Elm")
    keeper.save(CASE)
    assert keeper.path.name == "14-elm-2.yaml"
    assert foreign.read_text() == "somebody: else\n"
    with pytest.raises(InputError, match="already there; give another name"):
        Keeper.new(foreign)


def test_no_folder_yet_is_nothing_unfinished(tmp_path, small):
    """The first start finds nothing and makes nothing."""
    assert unfinished(tmp_path / "none", small.base.questions) == ([], [])
    assert not (tmp_path / "none").exists()


def test_failed_save_leaves_the_old_file(tmp_path, monkeypatch):
    """A full disk costs the last answer only."""
    keeper = Keeper.new(tmp_path / "case.yaml")
    keeper.save(CASE)
    before = keeper.path.read_bytes()

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(InputError, match="no space left on device"):
        keeper.save(replace(CASE, name="other"))
    assert keeper.path.read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == ["case.yaml"]


def test_place_that_cannot_be_written(tmp_path):
    """A folder that is not there, or is a file, is told before anything is asked."""
    (tmp_path / "file").write_text("")
    for wrong in (tmp_path / "none" / "x.yaml", tmp_path / "file" / "x.yaml"):
        with pytest.raises(InputError, match="not a folder that can be written to"):
            check_place(wrong)
    with pytest.raises(InputError, match="cannot be made"):
        Keeper.new_in(tmp_path / "file", "x")
    check_place(tmp_path / "x.yaml")


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("14 Elm St.", "14-elm-st.yaml"),
        ("../../etc/passwd", "etc-passwd.yaml"),
        ("壁", "壁.yaml"),
        ("Müllerstraße 5", "mullerstraße-5.yaml"),
        ("\x1b[31m", "31m.yaml"),
        ("...", "house.yaml"),
        ("a" * 300, "a" * 40 + ".yaml"),
    ],
)
def test_file_names_are_harmless(tmp_path, name, file):
    """A name never leads out of the folder."""
    assert free_name(tmp_path, name) == tmp_path / file
    (tmp_path / file).write_text("")
    assert free_name(tmp_path, name) == tmp_path / f"{Path(file).stem}-2.yaml"


def test_two_interviews_on_one_file_lose_nothing(tmp_path):
    """The second to write finds the file changed, and leaves it."""
    first = Keeper.new(tmp_path / "x.yaml")
    first.save(CASE)
    second = Keeper(first.path)
    second.save(replace(CASE, name="second"))
    with pytest.raises(ChangedElsewhere, match="was changed by another program in the meantime"):
        first.save(replace(CASE, name="first"))
    assert "second" in first.path.read_text()
    beside = Keeper.beside(first.path)
    beside.save(replace(CASE, name="first"))
    assert beside.path == tmp_path / "x-2.yaml"
    second.path.unlink()
    second.save(CASE)
    assert second.path.exists()
