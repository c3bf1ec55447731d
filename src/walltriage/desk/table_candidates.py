"""What outcomes would make of a clue's table: a candidate, to be weighed by people.

A table tells how often each answer comes in each state of a condition, and nobody opens a wall to
see a state.  Each answer is shared out over the states as the rules now hold them likely, given
whether the load path reached the wall (one step of Dempster, Laird and Rubin 1977), and counted
beside the table as it stands, which weighs as much as :data:`PRIOR` answers.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from walltriage.desk.outcomes import Record
from walltriage.desk.tallies import ENOUGH, by_clue, fair
from walltriage.knowledge.base import KnowledgeBase, LoadPath
from walltriage.knowledge.schema import Clue, Given

PRIOR = ENOUGH
WORTH_TELLING = 1.0  # of 100; less is no change
LEAST = 0.1  # of 100, the least that a table may say
Rows = Mapping[str, Mapping[str, float]]


@dataclass(frozen=True, slots=True)
class Candidate:
    """One clue's table as it stands and as outcomes would have it, counts in 100."""

    clue: str
    question: str
    before: Rows
    after: Rows
    outcomes: int
    """Walls with an answer to the question of which it is known whether the path reached them."""


def candidates(records: Iterable[Record], base: KnowledgeBase) -> list[Candidate]:
    """A candidate for every clue of a question of which outcomes set an answer apart.

    A clue that counts only in some houses is left out: a record does not tell which house it is.
    """
    some = fair(records)
    apart = {row.question for row in by_clue(some, base) if row.apart}
    found: list[Candidate] = []
    for name, path in base.paths.items():
        for clue in path.entry.clues:
            if clue.question in apart and clue.status != "retired" and clue.when is None:
                found += _candidate(some, name, path, clue)
    return found


def _candidate(
    records: Sequence[Record], name: str, path: LoadPath, clue: Clue
) -> Iterator[Candidate]:
    told = Counter(_told(records, name, clue))
    count = sum(told.values())
    if count < ENOUGH:
        return
    after = _counted(clue.shows, path.conditions[clue.condition][1], told)
    changed = max(
        abs(after[state][answer] - row[answer]) for state, row in clue.shows.items()
        for answer in row
    )  # fmt: skip
    if changed >= WORTH_TELLING:
        yield Candidate(clue.id, clue.question, clue.shows, after, count)


def _told(records: Iterable[Record], path: str, clue: Clue) -> Iterator[tuple[bool, str]]:
    """Whether the path reached the wall, and the answer; a wall that bears by nobody knows which
    path tells of none."""
    for record in records:
        answer = dict(record.answers).get(clue.question)
        if answer in next(iter(clue.shows.values())) and (record.paths or not record.bears):
            assert answer is not None
            yield path in record.paths, answer


def _counted(shows: Rows, given: Given, told: Mapping[tuple[bool, str], int]) -> Rows:
    met: dict[str, Counter[str]] = {state: Counter() for state in shows}
    for (reached, answer), count in told.items():
        likely = given.bearing if reached else given.not_bearing
        share = {state: likely[state] * row[answer] for state, row in shows.items()}
        for state, part in share.items():
            met[state][answer] += count * part / sum(share.values())  # type: ignore[assignment]
    return {
        state: _in_100(
            {
                answer: (PRIOR * usual / 100 + met[state][answer]) / (PRIOR + met[state].total())
                for answer, usual in row.items()
            }
        )
        for state, row in shows.items()
    }


def _in_100(shares: Mapping[str, float]) -> dict[str, float]:
    """Shares as counts in 100 to a tenth that add up; the largest takes what rounding leaves."""
    rounded = {name: max(round(100 * share, 1), LEAST) for name, share in shares.items()}
    largest = max(rounded, key=lambda name: rounded[name])
    rest = sum(value for name, value in rounded.items() if name != largest)
    return rounded | {largest: round(100 - rest, 1)}
