"""Short forms of rule files say what their long forms say, at the places they were written at."""

from __future__ import annotations

import json

import pytest

from walltriage.knowledge.short_forms import written_out
from walltriage.yamltree import parse

REASONS = {"moved": "It moved.", "made": "How it is made."}
FORMS = {
    "one test": (
        "rules: [{when: {above_wall: attic}}]",
        "rules: [{when: {answer: above_wall, is: attic}}]",
    ),
    "several tests": (
        "rules: [{when: {above_wall: [attic, roof], year_built: {below: 1985}}}]",
        "rules: [{when: {all: [{answer: above_wall, in: [attic, roof]},"
        " {answer: year_built, below: 1985}]}}]",
    ),
    "tests under words": (
        "rules: [{applies: {any: [{fact: roof, is: seen}, {not: {above_wall: attic}}]}}]",
        "rules: [{applies: {any: [{fact: roof, is: seen},"
        " {not: {answer: above_wall, is: attic}}]}}]",
    ),
    "options": (
        'questions: [{id: q, options: {a: ["An A", "an a"], b: ["A B", "a b"]}}]',
        'questions: [{id: q, options: [{id: a, says: "An A", means: "an a"},'
        ' {id: b, says: "A B", means: "a b"}]}]',
    ),
    "rows": (
        "conditions: [{id: c, states: {a: A, b: B, d: D, e: E}}]\n"
        "clues: [{condition: c, shows: {'e, a': {x: 1}, rest: {x: 2}}}]",
        "conditions: [{id: c, states: {a: A, b: B, d: D, e: E}}]\n"
        "clues: [{condition: c, shows: {a: {x: 1}, b: {x: 2}, d: {x: 2}, e: {x: 1}}}]",
    ),
    "groups of clues": (
        "clues: {c: [{id: one}, {id: two}], d: [{id: three}]}",
        "clues: [{condition: c, id: one}, {condition: c, id: two}, {condition: d, id: three}]",
    ),
    "told once": (
        "effort: 2\nwhy: It.\nsource: elicited\nquestions: [{id: a}, {id: b, effort: 1}]",
        "questions: [{source: elicited, effort: 2, why: It., id: a},"
        " {source: elicited, effort: 1, why: It., id: b}]",
    ),
    "how a question is asked": (
        "asked: {effort: 2, for: moved}\n"
        "questions: [{id: a}, {id: b, asked: {effort: 1, for: made}}]",
        "questions: [{effort: 2, why: It moved., id: a}, {effort: 1, why: How it is made., id: b}]",
    ),
    "one entry for two": (
        "rules: [{each: {one_side: one, other_side: two}, id: 'on_{key}', says: 'Side {word}'}]",
        "rules: [{id: on_one_side, says: Side one}, {id: on_other_side, says: Side two}]",
    ),
    "told once for what has an id": (
        "source: elicited\nnotes: [{says: one}]\nrules: [{id: a}, {source: mine, relation: r}]",
        "notes: [{says: one}]\nrules: [{source: elicited, id: a}, {source: mine, relation: r}]",
    ),
}


@pytest.mark.parametrize("form", FORMS)
def test_short_form_is_its_long_form(form):
    """Both come out as the same data, in the same order."""
    short, long = (written_out(parse(text, "rules.yaml"), REASONS) for text in FORMS[form])
    assert json.dumps(short.data) == json.dumps(long.data)


def test_a_long_form_stays_as_it_is():
    """What is not short is not touched, and neither are its places."""
    for _, text in FORMS.values():
        tree = parse(text, "rules.yaml")
        assert written_out(tree) == tree


@pytest.mark.parametrize(
    ("where", "place"),
    [
        (("rules", 0, "when"), (3, 5)),
        (("rules", 0, "when", "all", 1), (4, 7)),
        (("rules", 0, "when", "all", 1, "answer"), (4, 7)),
    ],
)
def test_a_test_keeps_its_place(where, place):
    """A mistake in a test is told where that test stands."""
    text = "rules:\n  - id: a\n    when: {above_wall: attic,\n      year_built: {below: old}}\n"
    assert written_out(parse(text, "rules.yaml")).place(where) == place


def test_options_and_clues_keep_their_places():
    """So do an option of a table and a clue of a group."""
    text = (
        "questions:\n- id: q\n  options:\n    a: [A, an a]\n    b: [B, a b]\n"
        "clues:\n  c:\n  - id: one\n  - id: two\n"
    )
    tree = written_out(parse(text, "rules.yaml"))
    assert tree.place(("questions", 0, "options", 1, "means")) == (5, 5)
    assert tree.place(("clues", 1)) == (9, 5)
    assert tree.place(("clues", 1, "condition")) == (7, 3)


def test_a_wrong_word_is_no_question():
    """A term with a word of the language is left to the language to refuse."""
    tree = written_out(parse("rules: [{when: {answer: a, at: b}}]", "rules.yaml"))
    assert tree.data == {"rules": [{"when": {"answer": "a", "at": "b"}}]}


def test_a_clue_names_its_question_on_one_line():
    """And a look is a direct clue; both keep their place, and what is no such pair stays."""
    text = "clues:\n  c:\n  - clue: one of q\n    x: 1\n  - look: two of r\n  - look: three\n"
    tree = written_out(parse(text, "rules.yaml"))
    assert tree.data["clues"] == [
        {"condition": "c", "id": "one", "question": "q", "x": 1},
        {"condition": "c", "id": "two", "question": "r", "direct": True},
        {"condition": "c", "look": "three"},
    ]
    assert tree.place(("clues", 1, "question")) == (5, 5)
