"""Syllables, reading grades, and the trade words of a question."""

from __future__ import annotations

import pytest

from walltriage.knowledge.lints.reading import grade, syllables
from walltriage.knowledge.schema import Question
from walltriage.knowledge.trade_words import (
    explained_in,
    glosses,
    trade_words_in,
)


def question(ask, look="Look up."):
    """A question with these words."""
    return Question(id="q", ask=ask, why="It tells.", look=look, effort=0, kind="seen")


WORDS = {
    "wall": 1, "house": 1, "edge": 1, "sides": 1, "nailed": 1, "the": 1, "12": 1,
    "over": 2, "any": 2, "above": 2, "open": 2, "table": 2, "edges": 2, "braces": 2, "nested": 2,
    "ceiling": 2, "opening": 3, "photographer": 4, "configuration": 5,
}  # fmt: skip


@pytest.mark.parametrize(("word", "count"), [*WORDS.items()])
def test_syllables(word, count):
    """Counted by hyphens or by vowels, whichever finds more; a number is one."""
    assert syllables(word) == count


def test_the_grade_is_the_formula():
    """Six words of one syllable in a sentence: 0.39 * 6 + 11.8 - 15.59."""
    assert grade("The cat sat on the mat.") == pytest.approx(0.39 * 6 + 11.8 - 15.59)
    two = 0.39 * 3 + 11.8 - 15.59
    assert grade("The cat sat. On the mat?") == pytest.approx(two)
    assert grade("The cat sat\n\nOn the mat") == pytest.approx(two)


def test_harder_words_and_longer_sentences_read_harder():
    """The grade rises with both."""
    easy = grade("Look at the wall. Is it wood?")
    assert grade("Look at the wall and say if it is wood or if it is some other thing") > easy
    assert grade("Investigate the partition. Is it timber?") > easy


def test_no_words_have_no_grade():
    """Nothing to read is not an error."""
    assert grade(" - ") == 0.0


def test_trade_words_are_found_in_any_number_and_spelling():
    """Plurals, capitals, hyphens and words of several parts; listed once each."""
    text = "Joists, ceiling joists and a ridge-beam. Trusses? An I-joist. A joist."
    assert trade_words_in(text, ()) == ["joist", "ridge beam", "truss", "i-joist"]
    assert trade_words_in("adjoisting trusst", ()) == []


def test_glossary_words_count_as_trade_words():
    """What the glossary explains is looked for too."""
    assert trade_words_in("The hatch is open.", {"Hatch": "a door"}) == ["hatch"]


@pytest.mark.parametrize(
    "ask",
    [
        "Do joists (boards on edge) stop here?",
        "Do boards on edge (joists) stop here?",
        "Do the ceiling joists (boards on edge) stop here?",
    ],
)
def test_brackets_explain(ask):
    """A trade word before or inside brackets counts as explained in the whole question."""
    assert explained_in(question(ask, "Find a joist."), ()) == {"joist"}


def test_brackets_further_on_explain_nothing():
    """Only the word right before the brackets is explained by them."""
    assert explained_in(question("Do joists stop at the wall (of this room)?"), ()) == set()


def test_glosses_of_a_question():
    """The words to be shown beside a question, in plain words."""
    glossary = {"joist": "a board on edge", "rafter": "a sloped board"}
    assert glosses(question("Do Joists stop here?"), glossary) == {"joist": "a board on edge"}
