"""What people type is understood, or refused with what would be."""

from __future__ import annotations

import pytest

from walltriage.case.model import Answer
from walltriage.interview.pages import Choice, Page, in_other_order, question_page, said
from walltriage.interview.replies import Reply, ReplyError, understand

ALL = ("unknown", "out_of_reach", "why", "how", "sure", "back", "list", "leave")
PICK = Page("Which?", choices=(Choice("a", "The same way"), Choice("b", "Across")), commands=ALL)
LENGTH = Page("How long?", kind="length", commands=ALL, hint="Type a length.")
WORDS = Page("Name?", kind="text", commands=("back", "leave"), keep="wall 1")


@pytest.mark.parametrize(
    ("line", "page", "reply"),
    [
        ("1", PICK, Reply(value="a")),
        (" 2 ", PICK, Reply(value="b")),
        ("across", PICK, Reply(value="b")),
        ("2 guess", PICK, Reply(value="b", sure="guess")),
        ("2, a guess", PICK, Reply(value="b", sure="guess")),
        ("1 fairly sure", PICK, Reply(value="a", sure="fairly")),
        ("1g", PICK, Reply(value="a", sure="guess")),
        ("1 f", PICK, Reply(value="a", sure="fairly")),
        ("the same way (certain)", PICK, Reply(value="a", sure="certain")),
        ("d", PICK, Reply("unknown")),
        ("I don’t know", PICK, Reply("unknown")),
        ("can't get there", PICK, Reply("out_of_reach")),
        ("WHY", PICK, Reply("why")),
        ("h", PICK, Reply("how")),
        ("/b", PICK, Reply("back")),
        ("q", LENGTH, Reply("leave")),
        ("12 ft 6 in", LENGTH, Reply(value="12 ft 6 in")),
        ("3.81 m guess", LENGTH, Reply(value="3.81 m", sure="guess")),
        ("12 f", LENGTH, Reply(value="12 f")),
        ("12'-6\"", LENGTH, Reply(value="12'-6\"")),
        ("back", WORDS, Reply(value="back")),
        ("/back", WORDS, Reply("back")),
        ("1", WORDS, Reply(value="1")),
        ("", WORDS, Reply(value="wall 1", keep=True)),
        ("my guess", WORDS, Reply(value="my guess")),
    ],
)
def test_understood(line, page, reply):
    """Numbers, words and letters mean what they say."""
    assert understand(line, page) == reply


@pytest.mark.parametrize(
    ("line", "page", "message"),
    [
        ("", PICK, "Nothing typed yet. Type 1 or 2, or one of the letters."),
        ("3", PICK, "'3' is not one of the answers. Type 1 or 2, or one of the letters."),
        ("a", PICK, "'a' is not one of the answers. Type 1 or 2, or one of the letters."),
        ("0", PICK, "'0' is not one of the answers. Type 1 or 2, or one of the letters."),
        ("²", PICK, "'²' is not one of the answers. Type 1 or 2, or one of the letters."),
        ("acros", PICK, "'acros' is not one of the answers (did you mean 'across'?). "
         "Type 1 or 2, or one of the letters."),
        ("", LENGTH, "Nothing typed yet. Type a length."),
        ("/why", WORDS, "'/why' is not something you can type here."),
    ],
)  # fmt: skip
def test_refused(line, page, message):
    """One clear message that says what would do."""
    with pytest.raises(ReplyError) as caught:
        understand(line, page)
    assert str(caught.value) == message


def test_options_turn_for_every_second_name(housed):
    """About half of all names get turning options the other way round, each always the same."""
    question = housed.base.questions["storeys"]
    flipped = [in_other_order(f"house {n}") for n in range(200)]
    assert 70 < sum(flipped) < 130
    straight = question_page(question, {}, flipped=False, heading="x").choices
    assert question_page(question, {}, flipped=True, heading="x").choices == straight[::-1]
    fixed = housed.base.questions["built_of"]
    assert (
        question_page(fixed, {}, flipped=True, heading="x").choices
        == question_page(fixed, {}, flipped=False, heading="x").choices
    )


def test_said_repeats_the_persons_own_answer(small):
    """Options, lengths, and the two kinds of no answer, with sureness only where it counts."""
    run, length = small.base.questions["joists_run"], small.base.questions["wall_length"]
    assert said(run, Answer("along", sure="guess")) == "The same way as the wall (a guess)"
    assert said(length, Answer("long", 150.0, "12 ft 6 in")) == "12 ft 6 in"
    assert said(run, Answer("unknown", sure="guess")) == "I don't know"
    assert said(run, Answer("out_of_reach")) == "I can't get there"
