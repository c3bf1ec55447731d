"""Walls of one house answer for each other, in an order that cannot run in a circle.

On one level only *answers* about a neighbour count.  A *verdict* counts only for walls of
lower levels, so reaching one needs verdicts of higher levels alone: the recursion ends at the
top level, and the order of the walls in the file changes nothing.
"""

from __future__ import annotations

from collections.abc import Callable

from walltriage.case.model import Answer, Answers, Case
from walltriage.inference.finding import Verdict
from walltriage.inference.relations.plan_answers import BY_PLAN, PlanReader

VerdictOf = Callable[[str], Verdict]


def house_answers(
    reader: PlanReader, case: Case, wall_id: str, verdict_of: VerdictOf
) -> dict[str, Answer]:
    """All answers known of a wall: the person's first, then the plan's and the other walls'."""
    given = case.answers_for(wall_id)
    from_plan = reader.answers(wall_id, given)
    found = {**from_plan, **reader.from_neighbours(case, wall_id)}
    found |= _from_verdicts(reader, wall_id, verdict_of)
    found |= _from_lines(reader, wall_id, {**found, **given})
    clash = reader.rules.clash
    if clash is not None:
        for question, told in (
            (clash.with_plan, reader.clashes(from_plan, given)),
            (clash.between_walls, reader.wall_clashes(case, wall_id)),
        ):
            if told:
                found[question] = Answer(clash.differs, None, "; ".join(told))
    # "don't know" is no answer that could outweigh what the plan shows
    return {**given, **found, **{name: a for name, a in given.items() if a.is_real}}


def relied_on(reader: PlanReader, case: Case, wall_id: str) -> tuple[str, ...]:
    """The walls that were seen to hold the joists over this one, in order of id.

    A wall found free because they are there makes them the lines that have to stay.
    """
    given = case.answers_for(wall_id)
    return tuple(sorted({
        other
        for entry in reader.rules.neighbours
        if entry.reads in given and given[entry.reads].value in entry.relies
        for other in reader.placements
        if wall_id in reader.related(other, entry.relation)
    }))  # fmt: skip


def _from_lines(reader: PlanReader, wall_id: str, answers: Answers) -> dict[str, Answer]:
    """Whether the joists of the story could do without a line of support here."""
    entry = reader.rules.lines
    if entry is None:
        return {}
    from walltriage.inference.numbers.lines import line_class  # the arithmetic, for plans alone

    word = line_class(reader.base, reader.layout, wall_id, answers)
    option = None if word is None else entry.words.get(word.value)  # type: ignore[call-overload]
    return {} if option is None else {
        entry.question: Answer(option, None, option, reader.sure, BY_PLAN)
    }  # fmt: skip


def _from_verdicts(reader: PlanReader, wall_id: str, verdict_of: VerdictOf) -> dict[str, Answer]:
    found = {}
    for entry in reader.rules.verdicts:
        order = list(entry.words)
        met = [
            (order.index(verdict), other)
            for other in reader.related(wall_id, entry.relation)
            if (verdict := verdict_of(other)) in entry.words
        ]
        if met:  # of several walls, the one that speaks most for bearing
            place, other = max(met)
            option = entry.words[order[place]]
            found[entry.question] = Answer(option, None, option, reader.sure, note=other)
    return found
