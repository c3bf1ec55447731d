"""How often the verdicts were right: counts with exact bounds, calibration, clue by clue.

A wall that was opened because of doubt says less about the others: groups are told apart by why
somebody looked, and what clients report without an engineer stands by itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from walltriage.desk.outcomes import Record
from walltriage.inference.finding import Verdict
from walltriage.knowledge.base import KnowledgeBase
from walltriage.lab.exact import upper

ENOUGH = 30  # outcomes with a clue before anything is said of its table
VERDICTS: tuple[Verdict, ...] = ("likely_bearing", "likely_non_bearing", "cannot_tell")
BINS = (0.0, 0.01, 0.05, 0.2, 0.5, 0.8, 0.95, 1.0)
FAIR = "engineer, by chance or for work"
GROUPS = {
    FAIR: ("engineer", ("sample", "work")),
    "engineer, because of doubt": ("engineer", ("doubt",)),
    "reported by clients": ("client", ("sample", "work", "doubt")),
}


@dataclass(frozen=True, slots=True)
class Share:
    """So many of so many, with exact 95 % bounds (Clopper and Pearson 1934)."""

    count: int
    of: int

    @property
    def bounds(self) -> tuple[float, float]:
        """Lowest and highest share the counts do not refute; (0, 1) of none."""
        return clopper_pearson(self.count, self.of)

    @property
    def share(self) -> float | None:
        return self.count / self.of if self.of else None


@dataclass(frozen=True, slots=True)
class VerdictRow:
    """Of the walls with one verdict, how many bore."""

    verdict: Verdict
    bears: Share


@dataclass(frozen=True, slots=True)
class TallyBin:
    """Walls whose middle belief lies from ``low`` to ``high``: belief and truth."""

    low: float
    high: float
    believed: float
    bears: Share


@dataclass(frozen=True, slots=True)
class ClueRow:
    """One answer to one question: how often the wall bore, and how often the answer came.

    ``odds`` bounds how many times as common the answer is where walls bear; ``table`` is what the
    rules' table says of that, lowest and highest; ``apart`` when the interval
    and the table do not meet.
    """

    question: str
    answer: str
    bears: Share
    odds: tuple[float, float] | None
    table: tuple[float, float] | None
    apart: bool


def clopper_pearson(count: int, of: int, confidence: float = 0.95) -> tuple[float, float]:
    """Two-sided exact bounds of a share; (0, 1) where ``of`` is 0."""
    if of == 0:
        return 0.0, 1.0
    one_sided = 1 - (1 - confidence) / 2
    return 1 - upper(of - count, of, one_sided), upper(count, of, one_sided)


def grouped(records: Iterable[Record]) -> dict[str, list[Record]]:
    """The records by who saw the truth and why they looked."""
    every = list(records)
    return {
        title: [r for r in every if r.reporter == reporter and r.why in whys]
        for title, (reporter, whys) in GROUPS.items()
    }


def fair(records: Iterable[Record]) -> list[Record]:
    """The records that say something of other walls: seen by an engineer, and not for doubt.

    Walls looked at for doubt were picked by the answers that made it, and a client may take a
    wall for what it is not; neither may count against a table.
    """
    return grouped(records)[FAIR]


def by_verdict(records: Sequence[Record]) -> list[VerdictRow]:
    """Verdict against truth."""
    rows = []
    for verdict in VERDICTS:
        some = [r for r in records if r.verdict == verdict]
        rows.append(VerdictRow(verdict, Share(sum(r.bears for r in some), len(some))))
    return rows


def calibration(records: Sequence[Record]) -> list[TallyBin]:
    """Belief against truth, in bins that have walls."""
    rows = []
    for low, high in pairwise(BINS):
        some = [r for r in records if low <= _middle(r) < high or (high == 1.0 == _middle(r))]
        if some:
            believed = sum(map(_middle, some)) / len(some)
            rows.append(TallyBin(low, high, believed, Share(sum(r.bears for r in some), len(some))))
    return rows


def _middle(record: Record) -> float:
    return sum(record.chance) / 2


def brier(records: Sequence[Record]) -> float | None:
    """Mean squared distance of belief and truth (Brier 1950); None of no records."""
    if not records:
        return None
    return sum((_middle(r) - r.bears) ** 2 for r in records) / len(records)


def by_clue(records: Sequence[Record], base: KnowledgeBase) -> list[ClueRow]:
    """For each answer given: how often the wall bore, beside what the tables say."""
    bearing = [dict(r.answers) for r in records if r.bears]
    others = [dict(r.answers) for r in records if not r.bears]
    tables = _tables(base)
    rows = []
    for question in sorted({name for answers in (*bearing, *others) for name in answers}):
        yes, no = _counts(bearing, question), _counts(others, question)
        for answer in sorted(yes.keys() | no.keys()):
            k_yes, k_no = yes.get(answer, 0), no.get(answer, 0)
            odds = _ratio((k_yes, sum(yes.values())), (k_no, sum(no.values())))
            table = tables.get((question, answer))
            enough = k_yes + k_no >= ENOUGH
            apart = bool(enough and odds and table and (odds[1] < table[0] or table[1] < odds[0]))
            rows.append(ClueRow(question, answer, Share(k_yes, k_yes + k_no), odds, table, apart))
    return rows


def _counts(answers: Iterable[Mapping[str, str]], question: str) -> dict[str, int]:
    found: dict[str, int] = {}
    for item in answers:
        if question in item:
            found[item[question]] = found.get(item[question], 0) + 1
    return found


def _ratio(yes: tuple[int, int], no: tuple[int, int]) -> tuple[float, float] | None:
    """How many times as common an answer is where walls bear: bounds from two exact bounds of
    97.5 % each, which hold together at 95 % or more; None where one side has no walls."""
    if not yes[1] or not no[1]:
        return None
    above, below = clopper_pearson(*yes, 0.975), clopper_pearson(*no, 0.975)
    high = above[1] / below[0] if below[0] > 0 else float("inf")
    return above[0] / below[1], high


def _tables(base: KnowledgeBase) -> dict[tuple[str, str], tuple[float, float]]:
    """Lowest and highest ratio that the clues' tables give an answer.

    A table's first row is the state that speaks against its load path.  A wall may bear by
    another path, where the answer says nothing: so 1 is always within.
    """
    found: dict[tuple[str, str], tuple[float, float]] = {}
    for clue in base.clues():
        clear, *others = clue.shows.values()
        for answer, usual in clear.items():
            ratios = [row.get(answer, 0.0) / usual for row in others] if usual > 0 else []
            low, high = found.get((clue.question, answer), (1.0, 1.0))
            found[clue.question, answer] = min([low, *ratios]), max([high, *ratios])
    return found
