"""What a perfect observer sees fits the questions of the knowledge base and the geometry."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from walltriage.entries import changed
from walltriage.knowledge.schema import Simulated
from walltriage.lab.findings import FINDINGS, Scene, found, unmodelled
from walltriage.lab.house.archetypes import ARCHETYPES
from walltriage.lab.house.build import build_house, generator
from walltriage.lab.house.model import Beam, Field, House, Line, Piece, Rect, Rest, RoofPart, Wall
from walltriage.lab.house.truth import bears, truth
from walltriage.lab.parameters import ERAS, _values, era_of, parameters


def asked(full) -> dict:
    return {n: q for n, q in full.base.questions.items() if q.entry.kind != "computed"}


def scenes(name: str, count: int):
    for index in range(count):
        house = build_house(name, 11, index)
        yield Scene(house, house.wall(house.subject), generator(11, index, name))


def test_every_question_is_modelled_or_named(full):
    """No finding is left over, and what has none is told, by how it is answered."""
    assert set(FINDINGS) <= set(asked(full))
    left = unmodelled(full.base.questions)
    assert set(left["drawn"]) | set(left["never_known"]) == set(asked(full)) - set(FINDINGS)
    assert not set(left["drawn"]) & set(left["never_known"])


@pytest.mark.parametrize("name", sorted(ARCHETYPES))
def test_findings_are_answers_of_their_question(name, full):
    """Option ids that exist, numbers for what is measured, within the question's range."""
    for scene in scenes(name, 6):
        for question_id, question in asked(full).items():
            value = found(scene, question)
            if value is None or value == "out_of_reach":
                continue
            if question.entry.answer == "choice":
                assert value in question.values, (question_id, value)
            else:
                least, most = (question.number(m) for m in (question.entry.least,
                                                            question.entry.most))  # fmt: skip
                assert least <= value <= most, (question_id, value)


def test_findings_tell_the_truth_of_the_frame(full):
    """In an attic that opens, the wall's whole top seen, joist ends show exactly where they are."""
    shown = 0
    for name in ("stick_centre_line", "stick_hall_pair", "joists_turn", "hip_stick"):
        for scene in scenes(name, 12):
            scene.house.attic_reachable = True
            scene.house.facts["traced"] = "whole"
            ends = found(scene, asked(full)["attic_joists_at_wall"]) in (
                "end_or_lap",
                "joined_over",
            )
            assert ends == ("ends" in scene.kinds)
            if ends and scene.wall.touches_frame:
                assert truth(scene.house, scene.wall)["framing_above"]
            shown += ends
    assert shown > 5


def test_a_boarded_strut_is_seen_by_nobody(full):
    """It bears, and no question about props at the wall tells it."""
    hidden = 0
    for scene in scenes("hidden_strut", 12):
        if not scene.paths["roof_struts"]:
            continue
        hidden += 1
        assert found(scene, asked(full)["props_at_wall"]) in ("none_near", "out_of_reach", None)
    assert hidden


def test_a_hand_drawn_wall():
    """A box of 40 by 28 ft, ridge along it, a wall in the middle with a trussed attic above."""
    box = Rect(0, 40, 0, 28)
    house = House("drawn", 1990, 40, 28, {0: [box]}, "one", "slab")
    house.roof_parts = [RoofPart(0, box, "trusses", "x", "attic", True)]
    wall = Wall("w", 0, Line("x", 14, 5, 25))
    side = Wall("s", 0, Line("x", 0, 0, 40), role="outside")
    house.walls = [wall, side]
    scene = Scene(house, wall, np.random.default_rng(1))
    assert FINDINGS["above_wall"](scene) == "only_attic"
    assert FINDINGS["below_wall"](scene) == "slab"
    assert FINDINGS["place_in_depth"](scene) == "middle_third"
    assert FINDINGS["wall_against_ridge"](scene) == "with_ridge"
    assert FINDINGS["wall_length"](scene) == 240
    assert FINDINGS["distance_one_side"](scene) == 168
    assert FINDINGS["house_width"](scene) == 336
    assert FINDINGS["attic_frame"](scene) == "trusses"
    assert FINDINGS["wall_over_wall"](scene) is None
    house.attic_reachable = False
    closed = Scene(house, wall, np.random.default_rng(1))
    assert FINDINGS["attic_frame"](closed) == "out_of_reach"


def test_other_rules_get_no_answer_that_is_none_of_theirs(small):
    """A question of the same name with other options, and one of another name."""
    for scene in scenes("truss_plain", 3):
        assert found(scene, small.base.questions["above_wall"]) is None
        assert found(scene, small.base.questions["joists_end"]) is None
    assert "joists_end" in unmodelled(small.base.questions)["never_known"]


def test_an_unmodelled_question_shows_what_it_declares(small):
    """The shares of walls that bear, those of walls that do not, and nothing on the rest."""
    asked_of = small.base.questions["joists_end"]
    shares = Simulated(
        bearing={"some_end": 70}, not_bearing={"none_end": 90, "some_end": 10}, source="elicited"
    )
    question = replace(asked_of, entry=changed(asked_of.entry, simulated=shares))
    told: dict[bool, Counter] = {True: Counter(), False: Counter()}
    for name in sorted(ARCHETYPES):
        for scene in scenes(name, 12):
            told[bears(scene.paths)][found(scene, question)] += 1
            assert found(scene, question) == found(scene, question)
    for bearing, wanted in ((True, {"some_end": 0.7, None: 0.3}),
                            (False, {"none_end": 0.9, "some_end": 0.1})):  # fmt: skip
        seen = told[bearing]
        assert set(seen) == set(wanted)
        for value, share in wanted.items():
            expected = seen.total() * share
            assert abs(seen[value] - expected) < 4 * (expected * (1 - share)) ** 0.5


def test_every_parameter_has_a_source():
    """A bare value, or one without a source, is refused."""
    assert parameters()["framing"]["longest_board_ft"] == 20
    with pytest.raises(ValueError, match="no source"):
        _values({"a": {"value": 1, "source": ""}}, ())
    with pytest.raises(ValueError, match=r"a\.b is a bare value"):
        _values({"a": {"b": 1}}, ())


def test_eras():
    """Each year has one."""
    assert [era_of(y) for y in (1919, 1920, 1964, 1984, 1985)] == [
        ERAS[0], ERAS[1], ERAS[2], ERAS[3], ERAS[4],
    ]  # fmt: skip


@pytest.mark.parametrize(("stop", "told"), [(21.0, "on_next_wall"), (28.0, "past_it"),
                                            (18.0, "before_it")])  # fmt: skip
def test_where_joists_end_beside_a_hand_drawn_wall(stop, told):
    """Joists across a wall at 14 ft, from the front wall to ``stop``; the next wall is at 21 ft."""
    box = Rect(0, 40, 0, 28)
    house = House("drawn", 1960, 40, 28, {0: [box]}, "one", "slab")
    house.roof_parts = [RoofPart(0, box, "rafters", "x", "attic")]
    wall = Wall("w", 0, Line("x", 14, 5, 25))
    house.walls = [wall, Wall("n", 0, Line("x", 21, 0, 40)),
                   Wall("s", 0, Line("x", 0, 0, 40), role="outside")]  # fmt: skip
    rests = (Rest(0.0, "end"), Rest(stop, "end"))
    house.fields = [Field(0, box, "y", "solid_boards", "2x8", 16.0, 15.0,
                          (Piece(0.0, stop, rests),), "attic")]  # fmt: skip
    scene = Scene(house, wall, np.random.default_rng(1))
    assert FINDINGS["joists_end_other_side"](scene) == told
    assert FINDINGS["held_distance_other_side"](scene) == 12 * (stop - 14)
    assert FINDINGS["joists_end_one_side"](scene) == "on_next_wall"
    assert FINDINGS["held_distance_one_side"](scene) == 12 * 14
    assert FINDINGS["opened_ends_other_side"](scene) == told
    assert FINDINGS["overhead_ends_other_side"](scene) == "out_of_reach"
    along = Wall("a", 0, Line("y", 20, 2, 26))
    assert FINDINGS["opened_ends_one_side"](Scene(house, along, np.random.default_rng(1))) is None


def drawn_house() -> House:
    """Stick roof over 40 by 28 ft, street along the length; joists across a middle wall."""
    box = Rect(0, 40, 0, 28)
    house = House("drawn", 1960, 40, 28, {0: [box]}, "one", "slab")
    house.roof_parts = [RoofPart(0, box, "rafters", "x", "attic")]
    house.walls = [Wall("w", 0, Line("x", 14, 5, 25), meant=True)]
    house.facts["traced"] = "whole"
    return house


def test_words_of_place_follow_the_plan():
    """The middle is called the middle, four feet from the edge is not."""
    house = drawn_house()
    scene = Scene(house, house.walls[0], np.random.default_rng(1))
    assert FINDINGS["place_told"](scene) == "middle"
    assert FINDINGS["wall_ends_at"](scene) == "one_free"
    edge = Scene(house, Wall("e", 0, Line("x", 3, 0, 20)), np.random.default_rng(1))
    assert FINDINGS["place_told"](edge) == "near_edge"
    assert FINDINGS["wall_ends_at"](edge) == "outside_at_end"


@pytest.mark.parametrize(("fill", "told"), [(0.1, "beam_ends"), (0.7, "out_of_reach")])
def test_fill_is_lifted_only_where_it_is_known_to_be_safe(fill, told):
    """A flush beam ends on the wall: found under blankets, left alone under pebbles."""
    house = drawn_house()
    house.beams = [Beam("flush", 0, Line("y", 15, 14, 28))]
    scene = Scene(house, house.walls[0], np.random.default_rng(1))
    scene._named["fill"] = fill
    assert FINDINGS["fill_lifted"](scene) == told


def test_a_doubled_truss_shows_at_its_end_or_is_buried():
    """Nobody who saw both ends of a girder truss on the wall says that all are alike."""
    house = drawn_house()
    house.beams = [Beam("girder_truss", 0, Line("y", 15, 0, 14))]
    rests = (Rest(0.0, "end"), Rest(28.0, "end"))
    house.fields = [Field(0, Rect(0, 40, 0, 28), "y", "roof_trusses", "roof", 24.0, 44.0,
                          (Piece(0.0, 28.0, rests),), "attic")]  # fmt: skip
    told = {
        FINDINGS["truss_both_ends"](Scene(house, house.walls[0], np.random.default_rng(seed)))
        for seed in range(60)
    }
    assert told == {"thicker_one", "one_end_only"}


def test_opinions_are_right_more_often_where_somebody_looked():
    """And both are wrong often enough to be weak."""
    right = {True: [0, 0], False: [0, 0]}
    for name in sorted(ARCHETYPES):
        for scene in scenes(name, 40):
            said = FINDINGS["opinion_given"](scene)
            if said not in ("all_nothing", "all_something"):
                continue
            tally = right[FINDINGS["opinion_ground"](scene) == "saw_frame"]
            tally[0] += (said == "all_something") == bears(scene.paths)
            tally[1] += 1
    looked, others = (right[key][0] / right[key][1] for key in (True, False))
    assert 0.5 < others < 0.7 < looked < 0.97
