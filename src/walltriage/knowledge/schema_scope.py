"""The form of ``rules/scope.yaml`` and ``rules/contradictions.yaml``, plain pairs among them."""

from __future__ import annotations

from typing import Any

from pydantic import Field

from walltriage.knowledge.schema import Cases, Entry, Id, Rule, Sources, Text


class Scope(Rule):
    """A kind of building that indirect clues cannot settle."""

    when: dict[str, Any]
    refer: Text


class ScopeFile(Entry):
    """``rules/scope.yaml``."""

    scope: list[Scope]


class ContradictionRule(Rule):
    """Answers that cannot all be true; ``questions`` are the ones to look at again.

    ``files_only``: an interview would not ask all of them, but a case file can hold them.
    """

    when: dict[str, Any]
    questions: list[Id] = Field(min_length=1)
    files_only: bool = False


class Pair(Entry):
    """A plain contradiction: any of one answer beside any of the other."""

    id: Id
    says: Text
    one: dict[Id, list[Id]] = Field(min_length=1, max_length=1)
    other: dict[Id, list[Id]] = Field(min_length=1, max_length=1)  # question: its answers
    files_only: bool = False
    source: Sources = "common practice"
    limits: list[Text] = Field(default=[])

    def written_out(self) -> ContradictionRule:
        """The same as a rule, with its cases: together it fires, and one alone is quiet."""
        sides = [next(iter(side.items())) for side in (self.one, self.other)]
        (one, ones), (other, others) = sides
        return ContradictionRule(
            id=self.id,
            says=self.says,
            source=self.source,
            limits=self.limits,
            cases=Cases(
                fires=[{one: a, other: b} for a in ones for b in others],
                quiet=[{one: ones[0]}, {other: others[0]}],
            ),
            when={"all": [{"answer": q, "in": answers} for q, answers in sides]},
            questions=[one, other],
            files_only=self.files_only,
        )


class ContradictionFile(Entry):
    """``rules/contradictions.yaml``."""

    contradictions: list[ContradictionRule]
    pairs: list[Pair] = Field(default=[])
