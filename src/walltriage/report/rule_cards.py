"""Cards of everything in the knowledge base: questions, paths, conditions, rules, sources."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import Any

from walltriage.case.model import SUREST_FIRST
from walltriage.errors import did_you_mean
from walltriage.inference.belief.tree import Belief, Reported, decibans
from walltriage.inference.explain import source_text
from walltriage.knowledge.base import AskedQuestion, KnowledgeBase, LoadPath
from walltriage.knowledge.condition_text import term_words
from walltriage.knowledge.lints.use import all_sources, cited
from walltriage.knowledge.reads import questions_behind, questions_of
from walltriage.knowledge.rule_kinds import KINDS, Facts, Owner, owners
from walltriage.knowledge.schema import (
    Clue,
    Condition,
    Given,
    Rule,
)
from walltriage.knowledge.trade_words import glosses
from walltriage.language import say
from walltriage.report.card import Card, Grid
from walltriage.report.words import EFFORT_WORDS


class UnknownEntryError(KeyError):
    """No entry of this id; ``hint`` names a near one, or nothing."""

    def __init__(self, name: str, hint: str) -> None:
        self.name, self.hint = name, hint
        super().__init__(name)


def db(weight: float) -> str:
    """A weight for people: ``+3.1 dB``, ``-12.0 dB``, ``0.0 dB``."""
    shown = f"{weight:+.1f} dB"
    return "0.0 dB" if shown in ("+0.0 dB", "-0.0 dB") else shown


class Cards:
    """Makes the card of any entry of one knowledge base."""

    def __init__(self, base: KnowledgeBase) -> None:
        self.base = base
        self._belief = Belief(base)
        self._kinds = {rule.id: kind for kind, rule in base.rules()}
        self._rules = {rule.id: rule for _, rule in base.rules()}
        self._owners = owners(base)
        self._conditions = {
            c.id: (path, c) for path in base.paths.values() for c in path.entry.conditions
        }
        self._behind = questions_behind(base)
        self.folder = os.path.commonpath([os.path.dirname(p) for p, _, _ in base.places.values()])

    def ids(self) -> list[str]:
        """Every id that has a card."""
        groups: tuple[Iterable[str], ...] = (
            self.base.questions, self.base.paths, self._conditions, self._rules, self.base.sources,
            self.base.glossary,
        )  # fmt: skip
        return [name for group in groups for name in group]

    def card(self, name: str) -> Card:
        """The card of one id; :class:`UnknownEntryError` when nothing has it."""
        if name in self.base.questions:
            return self.question(self.base.questions[name])
        if name in self.base.paths:
            return self.path(self.base.paths[name])
        if name in self._conditions:
            return self.condition(*self._conditions[name])
        if name in self._rules:
            return self.rule(self._rules[name])
        if name in self.base.sources:
            return self.source(name)
        if name in self.base.glossary:
            return self.word(name)
        raise UnknownEntryError(name, did_you_mean(name, self.ids()))

    def _card(self, name: str, kind: str, title: str, facts: Facts, **more: Any) -> Card:
        path, line, _ = self.base.place(name)
        file = os.path.relpath(path, self.folder) if self.folder else path
        return Card(name, kind, title, file.replace(os.sep, "/"), line, tuple(facts), **more)

    def question(self, question: AskedQuestion) -> Card:
        """What is asked, of whom, how its answers are trusted, and which rules read them."""
        entry, table = question.entry, self.base.guards.reliability
        trust = ", ".join(
            say("{share:.0%} if {sure}", share=table.trust(entry.kind, sure), sure=sure)
            for sure in SUREST_FIRST
        )
        effort = say(EFFORT_WORDS[entry.effort])
        who = ", ".join(say(role) for role in entry.who)
        facts: Facts = [
            ("look", entry.look),
            ("why", entry.why),
            (
                "place",
                say(
                    "{place}; {effort} (effort {number})",
                    place=say(question.place),
                    effort=effort,
                    number=entry.effort,
                ),
            ),
            ("asked", say("once for each {scope}, of {who}", scope=say(question.scope), who=who)),
            ("trust", say("{kind}: right in {trust}", kind=say(entry.kind), trust=trust)),
        ]
        if entry.applies is not None:
            facts.append(("applies", term_words(self.base, entry.applies)))
        if entry.answer in ("length", "number"):
            facts.append(("range", say("{least} to {most}", least=entry.least, most=entry.most)))
        facts.append(("read by", ", ".join(self._readers.get(question.id, ())) or say("no rule")))
        rows = [(option.id, option.says, option.means) for option in entry.options]
        rows += [(band.id, "", band.means) for band in entry.bands]
        nothing = say("weighs nothing")
        rows += [("unknown", say("not known"), nothing), ("out_of_reach", "", nothing)]
        head = (say("id"), say("shown as"), say("repeated in reports as"))
        grid = Grid(say("Answers"), head, rows)
        return self._card(
            question.id, "question", entry.ask, facts, grids=(grid,), drawing=entry.sketch or ""
        )

    @cached_property
    def _readers(self) -> Mapping[str, tuple[str, ...]]:
        """What reads each question: its clues, then rules, then questions it leads to."""
        terms: list[tuple[str, Any]] = [
            (rule.id, getattr(rule, "when", None)) for _, rule in self.base.rules()
        ]
        terms += [(name, q.entry.applies) for name, q in self.base.questions.items()]
        pairs = [(clue.question, clue.id) for clue in self.base.clues()]
        pairs += [(read, name) for name, term in terms for read in questions_of(term, self._behind)]
        found: dict[str, dict[str, None]] = {}
        for read, name in pairs:
            found.setdefault(read, {})[name] = None
        return {read: tuple(names) for read, names in found.items()}

    @cached_property
    def _words(self) -> Mapping[str, Mapping[str, str]]:
        """The trade words of each question."""
        glossary = self.base.glossary
        return {n: glosses(question.entry, glossary) for n, question in self.base.questions.items()}

    def path(self, path: LoadPath) -> Card:
        """A load path: where it starts from, its conditions, clues and signs."""
        entry = path.entry
        facts: Facts = [("says", entry.says), ("settled by", entry.settled_by)]
        if not entry.bears:
            facts.append(("counts", say("apart: it carries no weight of the house")))
        facts.append(("signs", ", ".join(sign.id for sign in entry.signs) or say("none")))
        rates = [
            (
                r.id,
                term_words(self.base, r.when),
                say("{least} to {most}", least=f"{r.in_100[0]:g}", most=f"{r.in_100[1]:g}"),
            )
            for r in entry.base_rates
        ]
        rows = []
        for name, table in self._belief.tables[path.id].items():
            weights = [
                decibans(b, n) for b, n in zip(table.bearing, table.not_bearing, strict=True)
            ]
            clues = ", ".join(clue.id for clue in path.clues[name])
            rows.append((name, db(min(weights)), db(max(weights)), clues))
        grids = (
            Grid(say("Of 100 such walls bear by this path (the first line that holds counts)"),
                 (say("base rate"), say("when"), say("of 100")), rates),
            Grid(say("Conditions, and the most each can weigh"),
                 (say("condition"), say("against"), say("for"), say("clues")), rows),
        )  # fmt: skip
        return self._card(path.id, "load path", entry.title, facts, grids=grids)

    def condition(self, path: LoadPath, condition: Condition) -> Card:
        """A hidden fact: how often each state is met with and without the path bearing."""
        facts: Facts = [
            ("path", path.id),
            ("clues", ", ".join(clue.id for clue in path.clues[condition.id]) or say("none")),
            ("source", source_text(condition.source)),
            ("limits", "; ".join(condition.limits)),
        ]
        grids = []
        for user in self.base.paths.values():
            if condition.id in user.conditions:
                grids.append(self._given(user.id, condition, user.conditions[condition.id][1]))
        return self._card(condition.id, "condition", condition.says, facts, grids=tuple(grids))

    def _given(self, path: str, condition: Condition, given: Given) -> Grid:
        table = self._belief.tables[path][condition.id]
        rows = [
            (
                state, means, f"{given.bearing[state]:g}", f"{given.not_bearing[state]:g}",
                db(decibans(table.bearing[i], table.not_bearing[i])),
            )
            for i, (state, means) in enumerate(condition.states.items())
        ]  # fmt: skip
        head = (
            say("state"), say("meaning"), say("bearing"), say("not bearing"), say("weight"),
        )  # fmt: skip
        caption = say("Of 100 walls that do, or do not, bear by '{path}'", path=path)
        return Grid(caption, head, rows)

    def rule(self, rule: Rule) -> Card:
        """Any rule: when it fires, what follows, what it weighs, its limits and its cases."""
        kind = self._kinds[rule.id]
        facts: Facts = [*KINDS[kind].effect(rule, self._owners.get(rule.id, Owner()))]
        when = getattr(rule, "when", None)
        if when is not None or not isinstance(rule, Clue):
            facts.append(("when", term_words(self.base, when)))
        facts += [
            ("source", source_text(rule.source)),
            ("limits", "; ".join(rule.limits)),
            ("status", say(rule.status)),
        ]
        for label, sets in (("fires on", rule.cases.fires), ("quiet on", rule.cases.quiet)):
            facts += [(label, _answers(given)) for given in sets]
        grids = self._clue_grids(rule) if isinstance(rule, Clue) else ()
        return self._card(rule.id, kind.replace("_", " "), rule.says, facts, grids=grids)

    def _clue_grids(self, clue: Clue) -> tuple[Grid, ...]:
        answers = list(next(iter(clue.shows.values())))
        counts = Grid(
            say("Of 100 walls in each state show"), (say("state"), *answers),
            [(state, *(f"{row[a]:g}" for a in answers)) for state, row in clue.shows.items()],
        )  # fmt: skip
        reliability = self.base.guards.reliability
        kind = self.base.questions[clue.question].entry.kind
        rows = []
        for path, tables in self._belief.tables.items():
            if clue.condition not in tables:
                continue
            for sure in SUREST_FIRST:
                trust = reliability.trust(kind, sure)
                weights = (
                    tables[clue.condition].weight(
                        [Reported(clue.id, clue.condition, answer, trust)]
                    )
                    for answer in answers
                )
                rows.append((path, sure, *(db(weight) for weight in weights)))
        alone = Grid(say("Weight of each answer alone"), (say("path"), say("said"), *answers), rows)
        return counts, alone

    def source(self, key: str) -> Card:
        """A publication and what cites it."""
        entry = self.base.sources[key]
        users: dict[str, str] = {}
        for name, sources in all_sources(self.base):
            for used, clause in cited(sources):
                if used == key:
                    users[name] = f"{name} ({clause})" if clause else name
        words = {"seen": say("its text was read"), "memory": say("from memory, to be checked")}
        facts: Facts = [("edition", entry.edition), ("known", words[entry.provenance])]
        if entry.note:
            facts.append(("note", entry.note))
        facts.append(("cited by", ", ".join(users.values()) or say("nothing")))
        return self._card(key, "source", entry.title, facts)

    def word(self, word: str) -> Card:
        """A trade word, its plain meaning, and the questions that use it."""
        asked = [name for name, words in self._words.items() if word.lower() in words]
        facts: Facts = [("used by", ", ".join(asked) or say("no question"))]
        return self._card(word, "word", self.base.glossary[word], facts)


def _answers(given: Mapping[str, Any]) -> str:
    return ", ".join(f"{name}: {value}" for name, value in given.items()) or say(
        "no answers at all"
    )
