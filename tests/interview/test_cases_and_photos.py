"""Saved interviews listed, found, gone on with and put away; photos still worth taking."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from tests.conftest import HERE
from tests.interview.person import Person
from walltriage.case.model import Answer, Case, Step, Wall
from walltriage.case.read import parse_case
from walltriage.case.write import write_case
from walltriage.cli import main


@pytest.fixture
def kept(tmp_path, monkeypatch):
    """A folder with two interviews and a file that is none; the newest last."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    folder = tmp_path / "walltriage"
    folder.mkdir()
    for name, wall in (("Elm Street", "hall"), ("Oak Lane", "kitchen")):
        case = Case(name=name, walls=(Wall("w1", wall, {"wall_place": Answer("inside")}),),
                    asked=(Step("w1", "wall_place"),))  # fmt: skip
        write_case(folder / f"{name.split()[0].lower()}.yaml", case)
    (folder / "notes.yaml").write_text("- no case\n", encoding="utf-8")
    return folder


def said(*words: str) -> str:
    done = CliRunner().invoke(main, list(words))
    assert done.exit_code == 0, done.output
    return done.output


def test_all_are_listed_with_walls_and_verdicts(kept):
    """What cannot be read is left out, not told as a mistake."""
    text = said("cases")
    assert "Elm Street: hall (not finished)" in text
    assert "Oak Lane: kitchen (not finished)" in text
    assert "notes" not in text


def test_found_by_a_word_of_house_or_wall(kept):
    assert "Oak Lane" not in said("cases", "elm")
    assert "Oak Lane" in said("cases", "KITCHEN")
    assert said("cases", "cellar").strip() == "No saved interview holds 'cellar'."


def test_put_away_and_found_in_the_archive(kept):
    """It is gone from the list, and not lost; a name taken there is not written over."""
    assert "Put away" in said("cases", "--archive", "elm")
    assert "Elm Street" not in said("cases")
    assert "Elm Street" in said("cases", "--archived")
    write_case(kept / "elm.yaml", Case(name="Elm again", walls=(Wall("w1"),)))
    said("cases", "--archive", "elm.yaml")
    archived = said("cases", "--archived")
    assert "Elm Street" in archived
    assert "Elm again" in archived


@pytest.mark.parametrize("option", ["--archive", "--resume"])
@pytest.mark.parametrize("name", ["beech", "../elm", ""])
def test_a_name_that_is_not_there(kept, option, name):
    """One clear message; nothing moves."""
    done = CliRunner().invoke(main, ["cases", option, name])
    assert done.exit_code == 2
    assert "no saved interview of this name" in done.output
    assert len(list(kept.glob("*.yaml"))) == 3


def test_gone_on_with_at_a_terminal(tmp_path, kept):
    """By its name, from the list."""

    class Lister(Person):
        def spawn(self, state, arguments, env):
            return super().spawn(state, ["cases", "--resume", "oak"], env)

    person = Lister(tmp_path, rules=None)
    try:
        shown = person.at_prompt()
        assert "What should I call the house?" not in shown
        assert person.type("l").count("Interior") == 1
    finally:
        person.child.close(force=True)


def test_photos_by_wall_with_how_many(tmp_path):
    """A place with a picture's name in a note is photographed; others are listed."""
    path = tmp_path / "house.yaml"
    house = HERE / "demo_houses" / "02-ranch-with-laps.yaml"
    path.write_text(house.read_text(encoding="utf-8"), encoding="utf-8")
    before = said("photos", str(path))
    assert "3 x Framing over the wall, with a tape in the picture" in before
    assert "1 x The wall from one side, whole length" in before
    text = path.read_text(encoding="utf-8")
    line = "attic_frame: rafters"
    noted = "attic_frame: {value: rafters, note: over the wall IMG_31.jpg}"
    assert line in text
    path.write_text(text.replace(line, noted), encoding="utf-8")
    after = said("photos", str(path))
    assert "Framing over the wall" not in after
    assert "1 x The wall from one side, whole length" in after


@pytest.mark.parametrize(("reach", "attic"), [("0", "unknown"), ("2", "out_of_reach")])
def test_photos_out_of_reach_stand_apart(tmp_path, reach, attic):
    """Who stays in the rooms, or found no way up, is not sent up for a photo."""
    path = tmp_path / "house.yaml"
    path.write_text(
        f"schema: walltriage/case/1\nname: h\nreach: {reach}\nhouse: {{base_of_house: slab}}\n"
        f"walls:\n- id: w1\n  answers: {{above_wall: only_attic, below_wall: slab,"
        f" wall_place: inside, wall_top: {attic}}}\n", encoding="utf-8",
    )  # fmt: skip
    own, _, others = said("photos", str(path)).partition("For someone who can get there:")
    assert "The wall from one side" in own
    assert "Framing over the wall" not in own
    assert "Framing over the wall" in others
    assert "Straight below the wall" not in own + others


def test_a_photo_by_itself_changes_no_result(full):
    """Until somebody has checked it, a note is a note."""
    text = (HERE / "demo_houses" / "02-ranch-with-laps.yaml").read_text(encoding="utf-8")
    noted = text.replace("attic_frame: rafters", "attic_frame: {value: rafters, note: IMG_1.jpg}")
    assert noted != text
    results = []
    for version in (text, noted):
        (wall,) = full.finding(parse_case(version, "a.yaml", full.base.questions)).walls
        results.append((wall.verdict, wall.probability, [p.probability for p in wall.load_paths]))
    assert results[0] == results[1]
