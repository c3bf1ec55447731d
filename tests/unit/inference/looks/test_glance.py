"""A page of several things: what is on it, what its answer says, and what is asked next."""

from __future__ import annotations

import numpy as np
import pytest

from walltriage.case.model import OUT_OF_REACH, UNKNOWN, Answer
from walltriage.inference.columns.codes import Coder
from walltriage.inference.looks.glance import (
    Asked,
    Glances,
    Picked,
    asked_of,
    picked_by,
    word_for_all,
)


@pytest.fixture(scope="module")
def glance(full):
    """The glance with an id."""
    known = {glance.id: glance for glance in full.base.glances}
    return lambda name: known[name]


def whole(glance) -> Asked:
    """All of a glance on one page."""
    return Asked(glance, tuple(glance.items))


def place_of(page: Asked, words: str) -> int:
    (at,) = [at for at, item in enumerate(page.items) if words in item.says]
    return at


def test_nothing_seen_answers_every_question_of_the_page(full, glance):
    """Whoever sees none of the rare things has said so to each; lists say it for their parts.

    A stud finder is not run by looking: who does not say to have run it is asked.
    """
    page = whole(glance("around_wall"))
    assert page.answers(Picked()) == {
        "round_the_wall": "none_of_these",
        "opening_near_joint": "none_near",
        "dormer_near": "none",
    }
    assert page.to_name(Picked()) == ("stud_cluster_found",)
    run = Picked(frozenset({place_of(page, "Stud finder run")}))
    assert page.answers(run)["stud_cluster_found"] == "no_cluster"
    assert page.to_name(run) == ()


def test_what_is_seen_is_asked_about_and_the_rest_is_answered(glance):
    """A post at the wall: the list says "one or more", its other parts are not there, and the post
    has a question of its own."""
    page = whole(glance("around_wall"))
    post = Picked(frozenset({place_of(page, "A post"), place_of(page, "Stud finder run")}))
    told = page.answers(post)
    assert told["round_the_wall"] == "one_or_more"
    assert told["beam_meets_wall"] == "none"
    assert "post_at_wall" not in told
    assert page.to_name(post) == ("post_at_wall",)


def test_what_a_thing_says_itself_is_not_asked_again(glance):
    """Two ways to be answered: one thing names the answer, the other one wants its question."""
    page = whole(glance("trusses_near"))
    slotted = place_of(page, "Slotted clips")
    nails = place_of(page, "Nails")
    assert page.answers(Picked(frozenset({slotted})))["clip_kind"] == "slotted"
    both = Picked(frozenset({slotted, nails}))
    assert "clip_kind" not in page.answers(both)
    assert "clip_kind" in page.to_name(both)


def test_what_would_show_a_clear_wall_has_to_be_said(glance):
    """Steel plates, a bare line, insulation lifted: not to be seen is no answer; it is asked."""
    for name, kept in (("roof_and_joints", {"attic_frame", "truss_plates", "plate_kind"}),
                       ("floor_of_wall", {"below_wall"}),
                       ("over_wall", {"attic_spot", "attic_fill", "fill_lifted"})):  # fmt: skip
        page = whole(glance(name))
        assert not kept & page.answers(Picked()).keys()
        assert kept <= set(page.to_name(Picked()))


def test_a_part_not_seen_is_never_a_whole(glance):
    """Whoever saw a part of the wall's top has seen a part, whatever else is picked."""
    page = whole(glance("around_attic"))
    part, rests = place_of(page, "could not see"), place_of(page, "Anything that rests")
    told = page.answers(Picked(frozenset({part})))
    assert (told["wall_top"], told["wall_traced"]) == ("seen_in_part", "part")
    told = page.answers(Picked(frozenset({part, rests})))
    assert told["wall_traced"] == "part"
    assert "wall_top" not in told


def test_a_line_about_two_things_leaves_the_clear_one_to_be_asked(glance):
    """Whoever cannot tell how much of the top they saw is asked by itself what rests on it."""
    page = whole(glance("around_attic"))
    part, rests = place_of(page, "could not see"), place_of(page, "Anything that rests")
    unsure = Picked(frozenset(), frozenset({part}))
    told = page.answers(unsure)
    assert told["wall_traced"] == UNKNOWN
    assert "wall_top" not in told
    assert page.to_name(unsure) == ("wall_top",)
    both = page.answers(Picked(frozenset(), frozenset({part, rests})))
    assert (both["wall_top"], both["wall_traced"]) == (UNKNOWN, UNKNOWN)


def test_what_nobody_can_know_unless_it_was_seen_is_left_unknown(glance):
    """How thick a slab is shows in a cut only: not to pick it is not to know it."""
    page = whole(glance("floor_of_wall"))
    slab = place_of(page, "a concrete slab")
    told = page.answers(Picked(frozenset({slab})))
    assert told == {
        "below_wall": "slab", "slab_signs": "nothing_shows", "slab_cut_seen": UNKNOWN,
    }  # fmt: skip
    thick = page.answers(Picked(frozenset({slab, place_of(page, "the slab thicker")})))
    assert thick["slab_cut_seen"] == "thick_here"


def test_not_known_is_no_answer(glance):
    """A doubt leaves its question unknown, and a list with a doubt is not "none of these"."""
    page = whole(glance("around_wall"))
    told = page.answers(Picked(frozenset(), frozenset({place_of(page, "A beam")})))
    assert told["round_the_wall"] == UNKNOWN
    assert told["beam_meets_wall"] == UNKNOWN
    assert told["post_at_wall"] == "none"


def test_only_open_things_are_shown(full, glance):
    """What was told before, or is out of reach, is not on the page."""
    page = asked_of(glance("line_below"), {"under_wall", "concrete_under"})
    assert [name for item in page.items for name in item.told] == ["under_wall", "concrete_under"]
    assert set(page.questions) == {"under_wall", "concrete_under"}


def test_people_who_know_nothing_say_one_word(glance):
    """Don't know to all, or can't get there to all."""
    page = whole(glance("line_below"))
    assert word_for_all(page, lambda name: Answer(UNKNOWN)) == UNKNOWN
    assert word_for_all(page, lambda name: Answer(OUT_OF_REACH)) == OUT_OF_REACH
    assert word_for_all(page, lambda name: Answer("open_joists")) == ""
    assert set(page.nothing_known(UNKNOWN).values()) == {UNKNOWN}


def usual(page: Asked) -> dict[str, str]:
    """The answers of somebody who sees nothing."""
    found = {name: value for item in page.items for name, value in item.seen.items()
             if name not in item.unseen}  # fmt: skip
    return found | page.answers(Picked())


@pytest.mark.parametrize("name", [
    "house_itself", "signs_of_trouble", "wall_itself", "around_wall", "around_attic",
    "roof_and_joints", "trusses_near", "line_of_wall", "floor_of_wall", "line_upstairs",
    "line_below", "faces_of_wall",
])  # fmt: skip
def test_an_answer_that_the_page_cannot_say_is_never_said_for_somebody(full, glance, name):
    """Whatever one question is answered, the page says that, asks it, or leaves it unknown."""
    page = whole(glance(name))
    for question in page.questions:
        for value in full.base.questions[question].values:
            said = usual(page) | {question: value}
            picked = picked_by(page, lambda q, said=said: Answer(said.get(q, UNKNOWN)))
            told = page.answers(picked)
            if question in page.lists or question in told:
                assert told[question] in (value, UNKNOWN), (question, value)
            else:
                assert question in page.to_name(picked), (question, value)


def test_the_page_of_a_question_in_columns_is_that_of_one_interview(full):
    """Which glance holds a question; alone it is asked by itself."""
    names = list(full.base.questions)
    glances = Glances(full.base, Coder(full.base))
    left = np.zeros((3, len(names)), bool)
    left[0, [names.index("under_wall"), names.index("post_below")]] = True
    left[1, names.index("under_wall")] = True
    question = np.array([names.index("under_wall"), names.index("under_wall"), -1])
    found = glances.holding(question, left)
    assert full.base.glances[found[0]].id == "line_below"
    assert found[1:].tolist() == [-1, -1]
    assert glances.pages({"under_wall", "post_below", "year_built"},
                         {"under_wall", "post_below", "year_built"}) == 2  # fmt: skip


def test_a_page_counts_for_all_that_is_wanted_of_it(full):
    """Two questions of one page count two each, one asked by itself counts one."""
    names = list(full.base.questions)
    wanted = np.zeros((1, len(names)), bool)
    for name in ("wall_line", "opening_in_line", "wall_thickness"):
        wanted[0, names.index(name)] = True
    (many,) = Glances(full.base, Coder(full.base)).together(wanted)
    assert many[names.index("wall_line")] == many[names.index("opening_in_line")] == 2
    assert many[names.index("wall_thickness")] == 1


def test_a_line_of_a_list_is_there_where_it_can_apply(full, glance):
    """Nobody is offered a girder truss under rafters; posts may have been set up under trusses."""
    glances = Glances(full.base, Coder(full.base))
    attic = glance("around_attic")
    which = np.array([full.base.glances.index(attic)])
    for frame, there, gone in (
        ("rafters", {"Slanted or upright"}, {"girder truss"}),
        ("trusses", {"Slanted or upright", "girder truss"}, set()),
    ):
        told = {n: Answer(v, None, v) for n, v in (("above_wall", "only_attic"),
                                                   ("attic_frame", frame))}  # fmt: skip
        (shut_out,) = glances.shut_out(Coder(full.base).encode([told]), which)
        says = " ".join(i.says for i in asked_of(attic, full.base.questions, shut_out).items)
        assert {thing for thing in there | gone if thing in says} == there


def test_what_was_not_picked_of_a_list_that_was_is_passed_over(full):
    """Half levels, beside an addition; not where that is still to be named, nor without a list."""
    coder, names = Coder(full.base), list(full.base.questions)
    glances, levels = Glances(full.base, coder), names.index("levels_in_house")
    told = [{"house_history": Answer(value, None, value)}
            for value in ("one_or_more", "none_of_these", UNKNOWN)]  # fmt: skip
    none = np.zeros((3, len(names)), bool)
    passed = glances.passed(coder.encode(told), none)
    assert passed[:, levels].tolist() == [True, False, False]
    to_name = none.copy()
    to_name[0, levels] = True
    assert not glances.passed(coder.encode(told), to_name)[0, levels]
