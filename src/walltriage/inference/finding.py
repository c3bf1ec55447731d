"""The result of a triage: one frozen model that every report reads and none rebuilds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from walltriage.inference.engine.compile import Firing

if TYPE_CHECKING:  # most walls have no numbers, and are spared the arithmetic's modules
    from walltriage.inference.numbers.results import HouseNumbers, WallNumbers

Verdict = Literal["likely_bearing", "likely_non_bearing", "cannot_tell"]
PathStatus = Literal["established", "ruled_out", "open"]
Level = Literal["none", "advised", "strong", "urgent"]
LEVELS: tuple[Level, ...] = ("none", "advised", "strong", "urgent")
Interval = tuple[float, float]


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
class Contradiction:
    """Answers that cannot all be true, as (question, answer) pairs, and what to look at."""

    rule: str
    text: str
    answers: tuple[tuple[str, str], ...]


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
    trace: tuple[Firing, ...]
    answered: tuple[tuple[str, str, str], ...]
    not_counted: tuple[NotCounted, ...]
    leaning: Leaning | None = None

    def path(self, path_id: str) -> PathFinding:
        """The load path with this id; :class:`KeyError` when there is none."""
        for path in self.load_paths:
            if path.id == path_id:
                return path
        raise KeyError(path_id)


@dataclass(frozen=True, slots=True)
class Finding:
    """The result for one case."""

    case: str
    rules_version: str
    rules_sha256: str
    walls: tuple[WallFinding, ...]
    house: HouseNumbers | None = None
