"""``rules/glances.yaml``: things that one look from one place takes in, on one page; its checks.

A glance asks nothing that no question asks.  It answers several questions at once for whoever sees
none of its things; what is seen is asked about by its own question.
"""

from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby
from typing import Any

from walltriage.entries import Entry, Field, checked
from walltriage.errors import Problem
from walltriage.knowledge.schema import Id, Text
from walltriage.knowledge.unknown import answers_at, unknown_at
from walltriage.yamltree import KeyPath, Tree

FILE_NAME = "glances.yaml"
NONE_OF_THESE, ONE_OR_MORE, UNKNOWN = "none_of_these", "one_or_more", "unknown"
MOST_ITEMS = 9  # fit a page of 24 lines, and are read to the end


class GlanceItem(Entry):
    """One thing to see.

    ``unseen``: by question, what is answered by not seeing it, "unknown" where that tells nothing;
    where nothing on the page answers a question, it is asked by itself.  ``seen``: what is answered
    by seeing it, where the thing itself says so.  ``names``: further questions that tell which it
    is, once it is seen.  ``beside``: a question with which it is shown, though its own may not
    apply yet.  ``of``: a question that is itself a list ("none of these", "one or more"), of which
    this is a part; what belongs to a list is answered with it.
    """

    says: Text
    unseen: dict[Id, Id] = Field(default_factory=dict)
    seen: dict[Id, Id] = Field(default_factory=dict)
    names: list[Id] = Field(default_factory=list)
    beside: Id | None = None
    of: Id | None = None

    @property
    def told(self) -> tuple[str, ...]:
        """The questions of which it says something."""
        return tuple(dict.fromkeys((*self.unseen, *self.seen)))

    @property
    def told_by(self) -> tuple[str, ...]:
        """The questions that tell what it is."""
        return (*self.told, *self.names)

    @property
    def shown_with(self) -> tuple[str, ...]:
        """The questions one of which has to be open for it to be on the page."""
        own = (self.of,) if self.of else self.told
        return (*own, self.beside) if self.beside else own


class Glance(Entry):
    """Things to look for together; ``look`` is how, ``why`` one neutral line.

    ``none`` spells out what somebody says who sees nothing of it.
    """

    id: Id
    ask: Text
    why: Text
    look: Text
    none: Text = "None of these"
    items: list[GlanceItem] = Field(min_length=2, max_length=MOST_ITEMS)
    sketch: str | None = None

    @property
    def lists(self) -> tuple[str, ...]:
        """The lists that it takes in."""
        return lists_of(self.items)

    @property
    def singles(self) -> tuple[str, ...]:
        """The questions that it answers beside those of a list."""
        return singles_of(self.items)


def lists_of(items: Iterable[GlanceItem]) -> tuple[str, ...]:
    """The lists that things are parts of, each once."""
    return tuple(dict.fromkeys(item.of for item in items if item.of))


def singles_of(items: Iterable[GlanceItem]) -> tuple[str, ...]:
    """The questions that things of no list say something of, each once."""
    return tuple(dict.fromkeys(name for item in items if not item.of for name in item.told))


class GlanceFile(Entry):
    """``rules/glances.yaml``."""

    glances: list[Glance] = Field(min_length=1)


def check(tree: Tree, questions: Mapping[str, Any]) -> Iterator[Problem]:
    """Questions and options that are not there, things of two places, and questions met twice."""
    taken: dict[str, str] = {}
    for index, glance in enumerate(checked(GlanceFile, tree.data).glances):
        where: KeyPath = ("glances", index)
        for at, item in enumerate(glance.items):
            yield from _item_problems(item, tree, (*where, "items", at), questions)
        answered = [*glance.lists, *glance.singles]
        places = {questions[name].place for name in answered if name in questions}
        if len(places) > 1:
            yield tree.problem(where, f"'{glance.id}' is seen from {' and '.join(sorted(places))}",
                               "expected things of one place")  # fmt: skip
        for name in answered:
            if taken.setdefault(name, glance.id) != glance.id:
                yield tree.problem(where, f"'{name}' is answered twice", "expected it once")
        runs = [of for of, _ in groupby(item.of for item in glance.items) if of]
        if len(runs) > len(set(runs)):
            yield tree.problem(where, "things of one list stand apart", "expected them together")


def _item_problems(
    item: GlanceItem, tree: Tree, where: KeyPath, questions: Mapping[str, Any]
) -> Iterator[Problem]:
    if not (item.told or (item.of and item.names)):
        yield tree.problem(where, "answers no question", "expected 'unseen: {QUESTION: option}'")
    extra = [name for name in (item.of, item.beside) if name]
    for name in (*item.told, *item.names, *extra):
        yield from unknown_at(tree, where, "question", name, questions)
    wanted = [(name, value) for name, value in item.unseen.items() if value != UNKNOWN]
    wanted += item.seen.items()
    wanted += [(item.of, value) for value in (NONE_OF_THESE, ONE_OR_MORE) if item.of]
    for name, value in wanted:
        if name in questions:
            yield from answers_at(tree, where, questions, name, [value])
