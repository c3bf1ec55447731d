"""The form of ``rules/measures.yaml``: which answers feed the arithmetic."""

from walltriage.entries import Entry, Field
from walltriage.knowledge.schema import Id, Sources


class InputSource(Entry):
    """One question an input of the arithmetic is read from.

    ``means`` turns its options into the words or numbers of the arithmetic (a measured value
    is taken as it is); ``only_with`` names answers without which it does not count.
    """

    question: Id
    means: dict[Id, str | float | int] | None = None
    only_with: dict[Id, Id] = Field(default_factory=dict)


class Assumed(Entry):
    """Lowest, usual and highest value of what nobody measures."""

    low: str | float | int
    usual: str | float | int
    high: str | float | int
    source: Sources


class ReportedFrom(Entry):
    """From which chance on a load path counts as reported though nothing established it."""

    chance: float = Field(gt=0, lt=1)
    source: Sources


class Report(Entry):
    """Answers that tell of a load whose size nobody knows."""

    question: Id
    answers: list[Id] = Field(min_length=1)


class MeasuresFile(Entry):
    """``rules/measures.yaml``: which answers feed the arithmetic.

    ``span_need`` and ``span_ratio`` name the questions that are worked out from spans: could the
    members do without the wall, and how does the span compare with every known capacity.
    """

    span_need: Id | None
    span_ratio: Id | None = None
    asked_for_numbers: list[Id]
    asked_with_a_tape: list[Id] = Field(default_factory=list)
    inputs: dict[Id, list[InputSource]]
    reported_from: ReportedFrom
    reports: dict[Id, list[Report]]
    narrowed_by: dict[Id, list[Id]]
    assumed: dict[Id, Assumed]

    @property
    def worked_out(self) -> frozenset[str]:
        """The questions that arithmetic answers."""
        return frozenset(name for name in (self.span_need, self.span_ratio) if name is not None)
