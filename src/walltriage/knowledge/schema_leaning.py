"""``rules/leaning.yaml``: where a wall that cannot be told leans."""

from typing import Annotated, Literal, Self

from walltriage.entries import Entry, Field, model_validator
from walltriage.knowledge.schema import Id, Text

Toward = Literal["bearing", "non_bearing", "none"]
LEAST_TOWARD_NON_BEARING = 1 / 30  # nothing that is open is told to be safer than this


class LeaningStep(Entry):
    """A step of the middle chance up to ``under``: which way it leans, and the share that bore."""

    under: Annotated[float, Field(gt=0)]
    toward: Toward
    chance: Annotated[float, Field(gt=0, lt=1)]
    says: Text
    work: Text


class LeaningFile(Entry):
    """The steps in rising order; while a gate or a referral in ``barred_by`` stands, those of
    ``barred_steps`` count in their place, and none of them leans toward non-bearing."""

    origin: Text
    barred_by: list[Id]
    steps: Annotated[list[LeaningStep], Field(min_length=5)]
    barred_steps: Annotated[list[LeaningStep], Field(min_length=1)]

    @model_validator(mode="after")
    def _rising(self) -> Self:
        for steps in (self.steps, self.barred_steps):
            marks = [step.under for step in steps]
            chances = [step.chance for step in steps]
            if marks != sorted(set(marks)) or chances != sorted(chances):
                raise ValueError("steps must rise, in 'under' and in 'chance'")
            if marks[-1] <= 1:
                raise ValueError("the last step must be under more than 1, so that all walls fit")
        least = min((s.chance for s in self.steps if s.toward == "non_bearing"), default=1.0)
        if least < LEAST_TOWARD_NON_BEARING:
            raise ValueError("no step toward non-bearing may have a chance under 1 in 30")
        if any(step.toward == "non_bearing" for step in self.barred_steps):
            raise ValueError("nothing that is barred leans toward non-bearing")
        return self
