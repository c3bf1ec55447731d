"""The result of a triage: one frozen model, whole in itself.

A report reads nothing else: neither the rules nor the case, whose words stand here with what came
out.  Its JSON and the schema of that are made from these types, so a field added here is a field
there; docstrings become the schema's descriptions.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Annotated, Any, Literal

from walltriage.case.model import Case, Sureness
from walltriage.case.write import case_data
from walltriage.entries import Field
from walltriage.knowledge.schema import Level as Level
from walltriage.knowledge.schema import Verdict as Verdict

if TYPE_CHECKING:  # most walls have no numbers, and are spared the arithmetic's modules
    from pydantic import GetCoreSchemaHandler
    from pydantic_core import CoreSchema

    from walltriage.inference.numbers.removal import Removal
    from walltriage.inference.numbers.results import HouseNumbers, WallNumbers

FindingSchema = Literal["walltriage/finding/2"]
FINDING_SCHEMA: FindingSchema = "walltriage/finding/2"

PathStatus = Literal["established", "ruled_out", "open"]
LEVELS: tuple[Level, ...] = ("none", "advised", "strong", "urgent")
Chance = Annotated[float, Field(ge=0, le=1)]
Interval = tuple[Chance, Chance]
"""Lowest and highest chance."""


class _AsCaseFile:
    """Has pydantic, which is not imported before, write a case as case files have it."""

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        from pydantic import PlainSerializer

        written = PlainSerializer(case_data, return_type=dict[str, Any])
        return written.__get_pydantic_core_schema__(source, handler)


@dataclass(frozen=True, slots=True)
class Evidence:
    """One reason on one load path.

    ``decibans`` is the weight for (positive) or against (negative) bearing; None for a
    decisive sign, which has no weight.  The weights of a path add up to its odds.
    """

    rule: str
    question: str | None
    answer: str | None
    decibans: float | None
    text: str
    source: str
    condition: str | None = None
    kind: Literal["base_rate", "clue", "sign"] = "clue"
    sure: str | None = None
    limits: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PathFinding:
    """What is known of one load path; ``probability`` is lowest and highest belief."""

    id: str
    title: str
    says: str
    settled_by: str
    status: PathStatus
    probability: Interval
    evidence: tuple[Evidence, ...]
    bears: bool
    seen_against: bool


@dataclass(frozen=True, slots=True)
class WhyNot:
    """What stood in the way of one verdict."""

    verdict: str
    rule: str
    text: str


@dataclass(frozen=True, slots=True)
class Said:
    """An answer as it was given, what was asked, and how a report repeats the answer."""

    question: str
    answer: str
    ask: str
    says: str


@dataclass(frozen=True, slots=True)
class Observation:
    """An answer that counts: of the house, of the wall, or worked out by the program.

    ``value`` is the option or band, ``number`` the measured value (inches for lengths), ``says``
    how a report repeats it, ``place`` where one sees it from ("none" for what is worked out).
    """

    question: str
    ask: str
    value: str
    says: str
    of: Literal["house", "wall", "program"]
    place: str
    number: float | None = None
    sure: Sureness | None = None
    by: str = ""
    seen_on: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Fired:
    """A rule that fired: in words, with its source and the data that matched its condition."""

    rule: str
    kind: str
    text: str
    source: str
    because: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Cited:
    """A publication that evidence or a caution rests on."""

    key: str
    title: str
    edition: str


@dataclass(frozen=True, slots=True)
class RulesUsed:
    """Which rules judged: their version, and the digest of their files by name."""

    version: str
    sha256: Annotated[str, Field(pattern="^[0-9a-f]{64}$")]


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Answers that cannot all be true, and what to look at."""

    rule: str
    text: str
    answers: tuple[Said, ...]


@dataclass(frozen=True, slots=True)
class NotCounted:
    """An answer that changed nothing, as it was given, and why it did not."""

    question: str
    answer: str
    because: str


@dataclass(frozen=True, slots=True)
class NextCheck:
    """A question worth answering: its effort (0 to 4) and what it would settle."""

    question: str
    effort: int
    why: str
    ask: str
    look: str
    paths: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Caution:
    """A warning, in load order."""

    rule: str
    text: str
    source: str
    before_opening: bool


@dataclass(frozen=True, slots=True)
class Referral:
    """How strongly a licensed engineer is called for."""

    level: Level
    text: str
    rule: str | None = None


@dataclass(frozen=True, slots=True)
class Leaning:
    """Which way an open wall leans: the share of such simulated walls that bore, and what class
    of work to plan for.  Never a verdict."""

    toward: Literal["bearing", "non_bearing", "none"]
    chance: float
    text: str
    work: str


@dataclass(frozen=True, slots=True)
class SeenOutcome:
    """What may be seen in a step of opening a wall, and what it means for going on."""

    sees: str
    means: str


@dataclass(frozen=True, slots=True)
class InspectionOpening:
    """One step of opening a wall; ``at_in`` are its places, inches from the zero end.

    ``at_in`` is empty where the step has no places, or while the wall is not measured; ``spot``
    is the one spot in words.
    """

    id: str
    title: str
    where: Literal["covers", "spot", "along", "whole"]
    spot: str
    at_in: tuple[float, ...]
    size: str
    tool: str
    paths: tuple[str, ...]
    shows: str
    outcomes: tuple[SeenOutcome, ...]
    cannot_show: str


@dataclass(frozen=True, slots=True)
class OpeningPlan:
    """How to open a wall, from no damage to most; ``first`` comes before anything is opened.

    ``length_in`` is None while the wall is not measured.
    """

    zero_end: str
    length_in: float | None
    first: tuple[str, ...]
    steps: tuple[InspectionOpening, ...]


@dataclass(frozen=True, slots=True)
class WallFinding:
    """Everything found about one wall.

    ``probability``: bounds of the chance that it bears, whatever the ways have to do with each
    other; ``middle``: one chance between them, the ways taken apart from each other.
    """

    id: str
    name: str
    verdict: Verdict
    probability: Interval
    middle: float
    load_paths: tuple[PathFinding, ...]
    why_not: tuple[WhyNot, ...]
    contradictions: tuple[Contradiction, ...]
    next_checks: tuple[NextCheck, ...]
    cautions: tuple[Caution, ...]
    referral: Referral
    numbers: WallNumbers | None
    decided_by: str | None
    scope: tuple[str, ...]
    trace: tuple[Fired, ...]
    observed: tuple[Observation, ...]
    """What counts for this wall beside the answers about the house."""
    not_counted: tuple[NotCounted, ...]
    leaning: Leaning | None = None
    length_in: float | None = None
    """The longest length told of this wall, which what was seen along it is held against."""
    opening: OpeningPlan | None = None
    """How to open it, where it cannot be told and opening can settle it."""
    relies_on: tuple[str, ...] = ()
    """Names of the walls that were seen to hold the joists over this one: they have to stay."""

    def path(self, path_id: str) -> PathFinding:
        """The load path with this id; :class:`KeyError` when there is none."""
        for path in self.load_paths:
            if path.id == path_id:
                return path
        raise KeyError(path_id)


@dataclass(frozen=True, slots=True)
class Finding:
    """What the program found about the walls of one case; same answers and rules, same bytes.

    ``given`` is the case as it was read, in the form of case files, with its plan.
    """

    schema: FindingSchema = field(default=FINDING_SCHEMA, kw_only=True)
    case: str
    rules: RulesUsed
    walls: tuple[WallFinding, ...]
    house: HouseNumbers | None
    observed: tuple[Observation, ...]
    """Answers about the house."""
    cited: tuple[Cited, ...]
    given: Annotated[Case, _AsCaseFile()]
    removal: Removal | None = None
    """What becomes of a set of walls, where one was asked about."""
