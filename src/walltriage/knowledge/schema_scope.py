"""The form of ``rules/scope.yaml`` and ``rules/contradictions.yaml``."""

from typing import Any

from walltriage.entries import Entry, Field, model_validator
from walltriage.knowledge.plain_cases import plain_answers
from walltriage.knowledge.schema import COMMON_PRACTICE, Id, Rule, Sources, Text


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
    Where any of some answers stands against any of others and nothing more is asked, they are
    those of ``when``.
    """

    source: Sources = COMMON_PRACTICE
    when: dict[str, Any]
    questions: list[Id] = Field(min_length=1)
    files_only: bool = False

    @model_validator(mode="before")
    @classmethod
    def _filled_in(cls, data: Any) -> Any:
        sides = plain_answers(data.get("when")) if isinstance(data, dict) else {}
        return {"questions": list(sides)} | data if len(sides) > 1 else data


class ContradictionFile(Entry):
    """``rules/contradictions.yaml``."""

    contradictions: list[ContradictionRule]
