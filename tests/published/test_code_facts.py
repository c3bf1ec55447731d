"""What codes say that helps to read a wall: each rule that cites one is named here and tried.

``data/code_facts.yaml`` gives for each section what it says, its edition and whether it was read
or recalled, the rules and hidden facts that cite it, and walls: answers, which rules fire and
which stay quiet, the verdict, and which way the answers count on a load path.

A few facts of the trade stand in no source that was read.  Their tests come last and are marked
"common practice, no source".
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import read_yaml
from tests.published.test_guidance import CLEAR_WALL, LEAST_DB, SILENT_DB, Reader
from walltriage.inference.leaning import leaning_of
from walltriage.inference.triage import Triager

DATA = Path(__file__).parent / "data" / "code_facts.yaml"
FACTS: dict[str, dict[str, Any]] = {fact["id"]: fact for fact in read_yaml(DATA)["facts"]}
CODES = re.compile(
    r"^(asce_wind|irc|ibc|ubc|cfr|osha|epa_rrp|norton|stjohns|cleveland|lowerchi|indiana)"
)
WALLS = {
    f"{name}-{n}": (fact, w) for name, fact in FACTS.items() for n, w in enumerate(fact["walls"])
}


@pytest.fixture(scope="session")
def reader(full: Triager) -> Reader:
    return Reader(full)


def citations(source: str | list[str]) -> list[tuple[str, str]]:
    """Key and clause of each source cited."""
    listed = [source] if isinstance(source, str) else source
    return [tuple(part.strip() for part in (*text.split(":", 1), "")[:2]) for text in listed]


def citing(reader: Reader) -> Iterator[tuple[str, list[tuple[str, str]]]]:
    """Every rule and hidden fact with the codes it cites."""
    for name, (_, rule) in reader.rules.items():
        yield name, citations(rule.source)
    for path in reader.base.paths.values():
        for name, (condition, _) in path.conditions.items():
            yield name, citations(condition.source)


def asked(wall: Mapping[str, Any]) -> dict[str, Any]:
    return {**(CLEAR_WALL if wall.get("clear_wall") else {}), **wall["answers"]}


def test_no_rule_cites_a_code_without_a_test_that_names_it(reader):
    cited = {
        (name, key, clause)
        for name, found in citing(reader)
        for key, clause in found
        if CODES.match(key)
    }
    named = {
        (name, fact["key"], clause)
        for fact in FACTS.values()
        for name, key, clause in cited
        if name in fact["holds"] and key == fact["key"] and covers(fact["clause"], clause)
    }
    assert cited
    assert sorted(cited - named) == []


# A page of ordinances and a thread on slabs name no section for what they say.
WITHOUT_SECTION = ("norton", "irc_slab")


def test_every_citation_of_a_code_names_the_section(reader):
    """R502.4, 3280.305, Table R802.4: a number of the code, beside the edition of the source."""
    unnumbered = {
        key
        for _, found in citing(reader)
        for key, clause in found
        if CODES.match(key) and not re.search(r"\d", clause)
    }
    assert unnumbered == set(WITHOUT_SECTION)
    cited = {key for _, found in citing(reader) for key, _ in found if CODES.match(key)}
    assert [key for key in cited if not reader.base.sources[key].edition] == []


def covers(clause: str, cited: str) -> bool:
    """Sections are compared whole: R502.6 is not R502.6.1."""
    return re.search(rf"(?<![\w.]){re.escape(clause)}(?!\.?\w)", cited) is not None


def test_sections_are_told_apart():
    assert covers("R502.6", "R502.6, ends of joists")
    assert not covers("R502.6", "R502.6.1")
    assert not covers("R502.6", "R502.65")


@pytest.mark.parametrize("name", FACTS)
def test_each_fact_is_cited_as_it_says(name, reader):
    """Key, section, edition and provenance are those of the rules that hold it."""
    fact = FACTS[name]
    source = reader.base.sources[fact["key"]]
    assert source.edition.startswith(fact["edition"])
    assert source.provenance == fact["provenance"]
    found: dict[str, list[tuple[str, str]]] = {}
    for entry, cites in citing(reader):
        found.setdefault(entry, []).extend(cites)
    for entry in fact["holds"]:
        clauses = [clause for key, clause in found.get(entry, ()) if key == fact["key"]]
        assert any(covers(fact["clause"], clause) for clause in clauses), entry


@pytest.mark.parametrize("name", FACTS)
def test_each_rule_of_a_fact_is_tried(name, reader):
    """It fires on a wall of the fact; a hidden fact is read there by a clue of its own."""
    fact = FACTS[name]
    fired = {rule for wall in fact["walls"] for rule in reader.fired(asked(wall))}
    read = {getattr(reader.rules[rule][1], "condition", "") for rule in fired & set(reader.rules)}
    assert set(fact["holds"]) <= fired | read
    text = " ".join(reader.rules[r][1].says for r in fact["holds"] if r in reader.rules)
    assert [word for word in fact.get("words", ()) if word not in text] == []


@pytest.mark.parametrize("name", FACTS)
def test_a_rule_with_a_condition_also_stays_quiet(name, reader):
    """Clues fire whenever their question is answered; every other rule has a quiet wall."""
    fact = FACTS[name]
    for rule in fact["holds"]:
        kind = reader.rules[rule][0] if rule in reader.rules else "condition"
        if kind not in ("clue", "condition"):
            runs = [rule in reader.fired(asked(wall)) for wall in fact["walls"]]
            assert not all(runs), rule


@pytest.mark.parametrize("name", WALLS)
def test_a_sign_told_once_still_holds_its_path_open(name, reader):
    """Where the code makes a finding bear and it was told in one look only, the verdict may stay
    open; but never "non-bearing", nor a leaning toward it, nor a path that is ruled out."""
    _, wall = WALLS[name]
    result = reader.alone(asked(wall))
    paths = [path for path, state in result.paths.items() if state.signs]
    if not any(reader.base.paths[path].entry.bears for path in paths):
        return
    assert result.verdict != "likely_non_bearing"
    assert all(result.paths[path].status != "ruled_out" for path in paths)
    leaning = leaning_of(reader.base, result)
    assert leaning is None or leaning.toward != "non_bearing"


@pytest.mark.parametrize("name", WALLS)
def test_walls_come_out_as_the_code_implies(name, reader):
    _, wall = WALLS[name]
    result, fired = reader.alone(asked(wall)), reader.fired(asked(wall))
    assert result.verdict == wall["verdict"]
    assert [rule for rule in wall.get("fires", ()) if rule not in fired] == []
    assert [rule for rule in wall.get("quiet", ()) if rule in fired] == []
    assert set(wall.get("quiet", ())) <= set(reader.rules)


@pytest.mark.parametrize("name", [n for n, (_, wall) in WALLS.items() if "counts" in wall])
def test_answers_count_the_way_the_code_implies(name, reader):
    _, wall = WALLS[name]
    assert not wall.get("clear_wall")
    wrong = {}
    for path, way in wall["counts"].items():
        weight = reader.weight(path, wall["answers"])
        right = {
            "for": weight > LEAST_DB,
            "against": weight < -LEAST_DB,
            "little": abs(weight) <= SILENT_DB,
        }[way]
        if not right:
            wrong[path] = f"{weight:+.1f} dB, not {way}"
    assert not wrong


@pytest.mark.parametrize("name", [n for n, (_, wall) in WALLS.items() if "not_as_far_as" in wall])
def test_some_answers_go_less_far_than_others(name, reader):
    """Less far on the paths of ``counts``; without these, less toward bearing at a spot."""
    _, wall = WALLS[name]
    for path, way in wall.get("counts", {"point_load": "for"}).items():
        this = reader.weight(path, wall["answers"])
        that = reader.weight(path, wall["not_as_far_as"])
        assert this > that if way == "against" else this < that, path


# Common practice, no source


def side_of_room(wall_ft: float, other_ft: float) -> str:
    """The answer to "is the wall the room's short or long side?" from its two measures."""
    return "long_side" if wall_ft > other_ft else "short_side"


def shows(reader: Reader, clue: str, state: str, value: str) -> float:
    return reader.rules[clue][1].shows[state][value]


@pytest.mark.parametrize(
    ("rule", "mph"), [("outer_walls_near_for_130", 130), ("outer_walls_near_for_140", 140)]
)
def test_braced_lines_stand_closer_where_the_wind_is_stronger(reader, rule, mph):
    """ASCE 7-16, 26.10.2, from memory: pressure grows with the square of the speed.

    What holds 60 ft of house (R602.10) at the 115 mph of most inland places, less a foot in twenty
    for the tape, holds that much less at a higher speed; and the rule uses most of it.
    """
    most_ft = 0.95 * 60 * (115 / mph) ** 2
    fires = [
        ft
        for ft in range(20, 61)
        if rule in reader.fired({"house_length": f"{ft} ft", "house_width": "20 ft"})
    ]
    assert most_ft - 2 < max(fires) < most_ft


COMMON_PRACTICE = (
    {"room_side": "short_side"},
    {"room_side": "long_side"},
    {"strip_floor_above": "across_this_wall"},
    {"strip_floor_above": "along_this_wall"},
    {"joist_nailer": "board_or_blocks"},
    {
        "room_side": "short_side",
        "strip_floor_above": "across_this_wall",
        "joist_nailer": "board_or_blocks",
    },
)


def test_joists_usually_span_a_room_the_shorter_way(reader):
    """Common practice, no source: in a room of 11 by 18 ft the joists run the 11 ft way.

    They cross the 18 ft wall, so it is more often seen with joists across it; and they run
    along the 11 ft wall.  A hint: a room is no more than one part of the floor.
    """
    across_18 = side_of_room(wall_ft=18, other_ft=11)
    along_11 = side_of_room(wall_ft=11, other_ft=18)
    clue = "room_proportion"
    assert shows(reader, clue, "ends_here", across_18) > shows(reader, clue, "along", across_18)
    assert shows(reader, clue, "along", along_11) > shows(reader, clue, "ends_here", along_11)
    assert 0 < reader.weight("framing_above", {"room_side": across_18}) < 4
    assert -4 < reader.weight("framing_above", {"room_side": along_11}) < 0


def test_strip_flooring_usually_lies_across_the_joists(reader):
    """Common practice, no source: strips across the wall tell of joists along it."""
    clue = "strip_floor_direction"
    across, along = "across_this_wall", "along_this_wall"
    assert shows(reader, clue, "along", across) > shows(reader, clue, "ends_here", across)
    assert shows(reader, clue, "ends_here", along) > shows(reader, clue, "along", along)
    seen = reader.weight("framing_above", {"attic_joist_run": "along"})
    assert seen < reader.weight("framing_above", {"strip_floor_above": across}) < 0


def test_a_flat_board_on_a_parallel_wall_only_catches_the_ceiling(reader):
    """Common practice, no source: the board goes with joists that do not rest on the wall.

    It tells of the joists only; a prop or a beam end may still stand on the wall.
    """
    answers = {"joist_nailer": "board_or_blocks"}
    assert reader.weight("framing_above", answers) < 0
    for path in ("roof_struts", "wall_above", "point_load"):
        assert reader.weight(path, answers) == 0
        assert reader.alone(answers).paths[path].status == "open"
    fewer = reader.weight("framing_above", {"attic_joists_at_wall": "none_touch"})
    assert fewer < reader.weight("framing_above", answers)


@pytest.mark.parametrize("answers", COMMON_PRACTICE, ids=lambda a: "-".join(a.values()))
def test_common_practice_alone_settles_nothing(answers, reader):
    """Common practice, no source: alone or together, such facts leave the wall open."""
    assert reader.alone(answers).verdict == "cannot_tell"
    assert reader.alone(answers).paths["framing_above"].status == "open"
