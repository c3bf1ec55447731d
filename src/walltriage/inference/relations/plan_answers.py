"""Answers that follow from the plan of the house, as ``rules/relations.yaml`` says.

Nothing here knows a question or a relation by name.  An answer from the plan counts like one
that was measured, as sure as the plan's tolerance allows; where a person answered the same
question, theirs counts, and a clash between the two is told.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from walltriage.case.geometry import Layout
from walltriage.case.model import HOUSE, Answer, Answers, Case, Sureness
from walltriage.case.plan import Plan
from walltriage.errors import InputError, Problem, did_you_mean
from walltriage.inference.relations.registry import (
    TO_OUTLINE,
    WALL_RELATIONS,
    Between,
    Value,
    WallPlacement,
)
from walltriage.inference.relations.whole_house import HOUSE_RELATIONS, PAIR_RELATIONS, UPWARD
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.relation_references import mark
from walltriage.knowledge.schema_plan import RelationAnswer
from walltriage.language import say
from walltriage.units import format_length

BY_PLAN = "the plan"
SETTINGS = (
    "facing_share", "in_line", "long_line_share", "joist_depth", "hall_least", "hall_most",
    "near_opening", "near_edge", "plain_for_sure", "plain_at_least",
)  # fmt: skip


def check_relations(base: KnowledgeBase) -> None:
    """:class:`InputError` when the rules name a relation that nothing works out."""
    file = base.relations
    problems: list[Problem] = []
    known = {**WALL_RELATIONS, **HOUSE_RELATIONS}
    for names, relations in (
        (known, [entry.relation for entry in file.answers]),
        (
            PAIR_RELATIONS,
            [e.relation for e in file.neighbours] + [e.relation for e in file.clashes],
        ),
        # along any other, verdicts could wait for each other
        (UPWARD, [entry.relation for entry in file.verdicts]),
    ):
        for relation in relations:
            if relation not in names:
                near = did_you_mean(relation, names)
                what = say("unknown relation '{relation}'{near}", relation=relation, near=near)
                expected = say("expected one of ") + ", ".join(names)
                problems.append(Problem.about("relations.yaml", what, expected))
    for name in SETTINGS if file.answers else ():
        if name not in file.settings:
            what = say("missing setting '{name}'", name=name)
            problems.append(Problem.about("relations.yaml", what, "expected a length or a share"))
    if problems:
        raise InputError(problems)


class PlanReader:
    """One plan, and the answers that follow from it for each wall of the case."""

    def __init__(self, base: KnowledgeBase, plan: Plan) -> None:
        self.base, self.rules = base, base.relations
        self.layout = Layout(plan)
        settings = {name: mark(value) for name, value in self.rules.settings.items()}
        self.placements, self._alone = (
            {
                segment.line.wall: WallPlacement(self.layout, segment, settings, alone)
                for segment in self.layout.walls
                if segment.line.wall
            }
            for alone in (False, True)
        )
        self.sure = self._sureness(self.layout.loosest_in)
        """How sure an answer is that rests on several things that are drawn."""
        self._beside = sorted({q for entry in self.rules.answers for q in entry.only_with})
        self._found: dict[tuple[str | None, ...], dict[str, Answer]] = {}
        self._related: dict[tuple[str, str], tuple[str, ...]] = {}

    def _sureness(self, tolerance_in: float) -> Sureness:
        for level in self.rules.sureness:
            if level.under is None or tolerance_in < mark(level.under):
                return level.sure
        return "guess"

    def answers(self, wall_id: str, given: Answers) -> dict[str, Answer]:
        """Every answer the plan gives about the house and this wall, asked or not.

        ``given`` are the person's answers, which some relations need beside the plan.
        """
        return dict(self._by_plan(wall_id, given))

    def _by_plan(self, wall_id: str, given: Answers) -> Answers:
        beside = (given[q].value if q in given else None for q in self._beside)
        key = (wall_id, *beside)
        if key not in self._found:
            self._found[key] = self._answers(wall_id, given)
        return self._found[key]

    def _answers(self, wall_id: str, given: Answers) -> dict[str, Answer]:
        found: dict[str, Answer] = {}
        settled: set[str] = set()
        for entry in self.rules.answers:
            if entry.question in settled or not _goes_with(entry, {**found, **given}):
                continue
            out_in = self.layout.tolerance_in
            if self.base.questions[entry.question].scope == HOUSE:
                value = HOUSE_RELATIONS[entry.relation](self.layout)
            elif wall_id in self.placements:
                held = self._alone if entry.relation in TO_OUTLINE else self.placements
                value = WALL_RELATIONS[entry.relation](held[wall_id])
                out_in = held[wall_id].loosest_in
            else:
                continue
            answer, final = self._read(entry, value, out_in)
            if answer is not None:
                found[entry.question] = answer
            if final:
                settled.add(entry.question)
        return found

    def _read(
        self, entry: RelationAnswer, value: Value, out_in: float
    ) -> tuple[Answer | None, bool]:
        """The answer a value gives, and whether the question is settled, by answer or doubt.

        ``out_in`` is how far out the places may be that it rests on.
        """
        if value is None:
            return None, False
        if isinstance(value, str):
            option = entry.words.get(value)
            return (self._option(option, out_in), True) if option else (None, False)
        if entry.measured:
            return self._measured(entry.question, value, out_in), True
        low, high = (_band(entry, number) for number in (value.low, value.high))
        if low != high:
            return None, True
        option = entry.bands[low].gives
        return (self._option(option, out_in), True) if option else (None, False)

    def _option(self, option: str, out_in: float) -> Answer:
        return Answer(option, None, option, self._sureness(out_in), BY_PLAN)

    def _measured(self, question: str, value: Between, out_in: float) -> Answer | None:
        asked = self.base.questions[question]
        slack = 4 * out_in
        least, most = (asked.number(end) for end in (asked.entry.least, asked.entry.most))  # type: ignore[arg-type]
        if value.high - value.low > slack or not least <= value.middle <= most:
            return None
        bands = {asked.band_of(end) for end in (value.low, value.high)}
        # across a band's end the number still stands, but carries no evidence
        band = bands.pop() if len(bands) == 1 else ""
        given = format_length(value.middle)
        return Answer(band, value.middle, given, self._sureness(out_in), BY_PLAN)

    def clashes(self, found: Answers, given: Answers) -> list[str]:
        """Where an answer of the person and the plan differ, each told with both."""
        differences = []
        for name, answer in found.items():
            said = given.get(name)
            if said is None or not said.is_real:
                continue
            if answer.number is not None and said.number is not None:
                apart = abs(answer.number - said.number) > 3 * self.layout.loosest_in
            else:
                apart = answer.value != said.value
            if apart:
                question = self.base.questions[name]
                answered = said.given if said.number is not None else question.means(said.value)
                drawn = answer.given if answer.number is not None else question.means(answer.value)
                differences.append(
                    say(
                        "{ask} Answered: {answered}. Drawn: {drawn}.",
                        ask=question.entry.ask,
                        answered=answered,
                        drawn=drawn,
                    )
                )
        return differences

    def related(self, wall_id: str, relation: str) -> tuple[str, ...]:
        """The other walls of the case that stand in a relation to this one, in order of id.

        By id and not in the order of the file, so that the order in which walls were
        entered changes nothing.
        """
        known = self._related.get((wall_id, relation))
        if known is None:
            here, holds = self.placements.get(wall_id), PAIR_RELATIONS[relation]
            known = self._related[wall_id, relation] = tuple(
                other
                for other in sorted(self.placements)
                if here is not None and other != wall_id and holds(here, self.placements[other])
            )
        return known

    def from_neighbours(self, case: Case, wall_id: str) -> dict[str, Answer]:
        """Answers that follow from what was answered about related walls.

        Where several answers say something different, the one whose word stands last counts,
        whichever wall and question it is from.
        """
        met: dict[str, list[tuple[int, str, str, Answer]]] = defaultdict(list)
        for entry in self.rules.neighbours:
            for other in self.related(wall_id, entry.relation):
                answer = self._said(case, other, entry.reads)
                if answer is not None and answer.value in entry.words:
                    place = list(entry.words).index(answer.value)
                    met[entry.question].append((place, other, entry.words[answer.value], answer))
        found = {}
        for question, several in met.items():
            _, other, option, answer = max(several, key=lambda one: one[:2])
            found[question] = Answer(option, None, option, answer.sure, note=other)
        return found

    def wall_clashes(self, case: Case, wall_id: str) -> list[str]:
        """Contradictions between this wall and others, each told with both answers."""
        differences = []
        for rule in self.rules.clashes:
            here = self._said(case, wall_id, rule.here.question)
            if here is None or here.value not in rule.here.answers:
                continue
            for other in self.related(wall_id, rule.relation):
                there = self._said(case, other, rule.there.question)
                if there is not None and there.value in rule.there.answers:
                    differences.append(
                        say(
                            "{says} {wall}: {question} is {value}; {other}: {other_question} is "
                            "{other_value}",
                            says=rule.says,
                            wall=wall_id,
                            question=rule.here.question,
                            value=here.value,
                            other=other,
                            other_question=rule.there.question,
                            other_value=there.value,
                        )
                    )
        return differences

    def _said(self, case: Case, wall_id: str, question: str) -> Answer | None:
        """What is known of a wall by answers and plan to a question, without any verdict."""
        given = case.answers_for(wall_id)
        told = given.get(question)
        if told is not None and told.is_real:
            return told
        return self._by_plan(wall_id, given).get(question)


def _goes_with(entry: RelationAnswer, given: Answers) -> bool:
    return all(q in given and given[q].value == value for q, value in entry.only_with.items())


def _band(entry: RelationAnswer, number: float) -> int:
    ends: Iterable[tuple[int, str | float | None]] = (
        (index, band.under) for index, band in enumerate(entry.bands)
    )
    return next(i for i, end in ends if end is None or number < mark(end))
