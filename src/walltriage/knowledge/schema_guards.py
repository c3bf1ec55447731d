"""The form of ``rules/guards.yaml`` and ``rules/cautions.yaml``.

What stops a verdict and what reaches one, how far people are trusted, and what is said beside it.
"""

from typing import Annotated, Any, Literal

from walltriage.entries import Entry, Field
from walltriage.knowledge.schema import Id, Kind, Level, Place, Rule, Share, Sources, Text


class Gate(Rule):
    """When it holds, the named verdict is withheld and ``says`` tells why."""

    when: dict[str, Any]
    withholds: Literal["likely_non_bearing", "likely_bearing"]


class VerdictRule(Rule):
    """Concludes a verdict; ``cannot_tell`` is what is left when none does."""

    when: dict[str, Any]
    concludes: Literal["likely_bearing", "likely_non_bearing"]


class Costs(Entry):
    """What each mistake costs, in units of one wasted "cannot tell"."""

    missed_bearing: Annotated[float, Field(gt=0)]
    false_bearing: Annotated[float, Field(gt=0)]
    cannot_tell: Annotated[float, Field(gt=0)]
    source: Sources


class PartialLook(Entry):
    """How often a look along the wall's top, from one place, took in only a part of it.

    ``in_100`` by the value of a fact of the situation; ``otherwise`` where it has none.
    """

    place: Place
    fact: Id
    in_100: dict[Id, Share]
    otherwise: Share
    source: Sources
    limits: list[Text] = Field(min_length=1)


Said = Literal["confirmed", "certain", "fairly", "guess"]
Trusted = Said | Literal["checked"]


class Reliability(Entry):
    """Share of reports of each kind that say what is there, and what sureness does to it.

    ``checked``: the share, by kind, of answers that a professional has marked.
    """

    kinds: dict[Kind, Annotated[float, Field(gt=0, lt=1)]]
    sureness: dict[Said, Annotated[float, Field(gt=0, le=1)]]
    checked: dict[Kind, Annotated[float, Field(gt=0, lt=1)]]
    condition_misread: Annotated[float, Field(ge=0, lt=0.5)]
    source: Sources

    def trust(self, kind: Kind, sure: Trusted) -> float:
        """Share of reports of a kind, given so surely, that say what is there."""
        return self.checked[kind] if sure == "checked" else self.kinds[kind] * self.sureness[sure]


class ToldTogether(Entry):
    """Looks that say much only together, called for ``after`` one of these answers was given, as
    long as each that was taken was answered by one of its ``looks``."""

    after: dict[Id, list[Id]] = Field(min_length=1)
    looks: dict[Id, list[Id]] = Field(min_length=2)


class GuardsFile(Entry):
    """``rules/guards.yaml``."""

    version: Text
    costs: Costs
    reliability: Reliability
    partial_look: PartialLook | None = None
    seen_kinds: list[Literal["seen", "measured"]]  # a look of one's own
    # questions that an interview asks before it ends so
    sought_before_non_bearing: list[Id] = Field(default_factory=list)
    # looks offered a second time before a wall is called so, each with what is said of why
    twice_before_non_bearing: dict[Id, Text] = Field(default_factory=dict)
    told_together: list[ToldTogether] = Field(default_factory=list)
    thresholds: dict[Id, Annotated[float, Field(ge=0, le=10)]]
    threshold_notes: dict[Id, Text]
    gates: list[Gate]
    verdicts: list[VerdictRule]


class CautionRule(Rule):
    """A warning shown with the result.

    Those with ``before_opening`` come before any hole, those with ``before_look_in`` before
    somebody is sent to look in that place.  Beside one with ``forbids_opening`` no hole is planned,
    and nobody is sent to see what shows in one, nor to that place.
    """

    when: dict[str, Any] | None = None
    before_opening: bool = False
    before_look_in: Place | None = None
    forbids_opening: bool = False


class ReferralRule(Rule):
    """How strongly a licensed engineer is called for; the highest that holds is shown."""

    when: dict[str, Any] | None = None
    level: Level


class CautionFile(Entry):
    """``rules/cautions.yaml``."""

    cautions: list[CautionRule]
    referrals: list[ReferralRule]
