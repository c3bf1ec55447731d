"""The knowledge base in memory: frozen entries, each findable by its id."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

from walltriage.knowledge.glances import Glance
from walltriage.knowledge.report_texts import ReportTexts
from walltriage.knowledge.schema import (
    Band,
    BaseRate,
    Clue,
    Condition,
    DerivedFact,
    Given,
    LoadPathFile,
    Option,
    Question,
    Rule,
    Sign,
    Source,
)
from walltriage.knowledge.schema_guards import CautionFile, CautionRule, GuardsFile, ReferralRule
from walltriage.knowledge.schema_leaning import LeaningFile
from walltriage.knowledge.schema_measures import MeasuresFile
from walltriage.knowledge.schema_plan import RelationsFile
from walltriage.knowledge.schema_scope import ContradictionRule, Scope
from walltriage.knowledge.seen_along import SeenAlongFile
from walltriage.knowledge.terms import NO_ANSWER
from walltriage.language import say
from walltriage.units import parse_length
from walltriage.yamltree import KeyPath, Tree

_length = lru_cache(maxsize=1024)(parse_length)  # the marks of scales are few, and asked for often


@dataclass(frozen=True, slots=True)
class AskedQuestion:
    """A question with the place and scope its file gives it, and its scale worked out."""

    entry: Question
    place: str
    scope: str

    @property
    def id(self) -> str:
        return self.entry.id

    @property
    def values(self) -> tuple[str, ...]:
        """The words an answer can take for rules: option ids, or band ids."""
        if self.entry.answer == "choice":
            return tuple(option.id for option in self.entry.options)
        return tuple(band.id for band in self.entry.bands)

    def number(self, limit: str | float) -> float:
        """A scale mark of this question in inches, or as the plain number it is."""
        return _length(limit) if self.entry.answer == "length" else float(limit)

    def band_of(self, number: float) -> str:
        """The id of the band a measured number falls in; empty when there are none."""
        for band in self.entry.bands:
            if band.under is None or number < self.number(band.under):
                return band.id
        return ""

    def means(self, value: str) -> str:
        """How reports repeat an answer."""
        if value == NO_ANSWER[0] and self.entry.unknown is not None:
            return self.entry.unknown.means
        if value in NO_ANSWER:
            return say("not known") if value == NO_ANSWER[0] else say("could not be reached")
        known: tuple[Option | Band, ...] = (*self.entry.options, *self.entry.bands)
        return next((item.means for item in known if item.id == value), value)


@dataclass(frozen=True, slots=True)
class LoadPath:
    """One load path with the conditions that bear on it, own and borrowed."""

    entry: LoadPathFile
    conditions: dict[str, tuple[Condition, Given]]
    clues: dict[str, tuple[Clue, ...]]

    @property
    def id(self) -> str:
        return self.entry.path


@dataclass(frozen=True, slots=True)
class KnowledgeBase:
    """Everything in ``rules/``, checked; ``sha256`` is over the names and bytes of its files."""

    questions: Mapping[str, AskedQuestion]
    paths: Mapping[str, LoadPath]
    facts: tuple[DerivedFact, ...]
    scope: tuple[Scope, ...]
    contradictions: tuple[ContradictionRule, ...]
    guards: GuardsFile
    cautions: CautionFile
    measures: MeasuresFile
    relations: RelationsFile
    sources: Mapping[str, Source]
    folder: Path
    sha256: str
    places: Mapping[str, tuple[str, int, int]] = field(repr=False)
    report_texts: ReportTexts | None = field(default=None, repr=False)
    seen_along: SeenAlongFile | None = field(default=None, repr=False)
    glances: tuple[Glance, ...] = ()
    glossary: Mapping[str, str] = field(default_factory=dict)
    leaning: LeaningFile | None = None
    anchors: Mapping[str, tuple[Tree, KeyPath]] = field(default_factory=dict, repr=False)

    @property
    def version(self) -> str:
        return self.guards.version

    def place(self, name: str, *keys: str | int) -> tuple[str, int, int]:
        """File, line and column of an entry, or of the part of it that ``keys`` lead to.

        Entries are rules, questions and conditions by id, sources by key, load paths by
        name.  An entry without a known place is put at ``rules:0:0``.
        """
        if name not in self.anchors:
            return self.places.get(name, ("rules", 0, 0))
        tree, where = self.anchors[name]
        return (tree.path, *tree.place((*where, *keys)))

    def base_rates(self) -> Iterator[tuple[str, BaseRate]]:
        for path in self.paths.values():
            for rate in path.entry.base_rates:
                yield path.id, rate

    def clues(self) -> Iterator[Clue]:
        for path in self.paths.values():
            yield from path.entry.clues

    def signs(self) -> Iterator[tuple[str, Sign]]:
        for path in self.paths.values():
            for sign in path.entry.signs:
                yield path.id, sign

    def rules(self) -> Iterator[tuple[str, Rule]]:
        """Every rule with its kind, in load order (which is also the order of firing)."""
        yield from (("fact", rule) for rule in self.facts)
        yield from (("clue", rule) for rule in self.clues())
        yield from (("base_rate", rule) for _, rule in self.base_rates())
        yield from (("sign", rule) for _, rule in self.signs())
        yield from (("scope", rule) for rule in self.scope)
        yield from (("contradiction", rule) for rule in self.contradictions)
        yield from (("gate", rule) for rule in self.guards.gates)
        yield from (("verdict", rule) for rule in self.guards.verdicts)
        yield from (("caution", rule) for rule in self.cautions.cautions)
        yield from (("referral", rule) for rule in self.cautions.referrals)


__all__ = ["AskedQuestion", "CautionRule", "KnowledgeBase", "LoadPath", "ReferralRule"]
