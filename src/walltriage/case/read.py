"""Read case files and transcripts: YAML or JSON, every mistake with its place."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from walltriage.case.answers import AnswerableQuestion, AnswerError, make_answer
from walltriage.case.case_forms import AnswerForm, CaseForm, WallForm
from walltriage.case.earlier_ids import answers_now, asked_now, was_of_house
from walltriage.case.model import CASE_SCHEMA, HOUSE, Answer, Case, Drawing, Step, Wall
from walltriage.entries import Entry
from walltriage.errors import InputError, Problem, did_you_mean
from walltriage.plainly import plainly
from walltriage.yamltree import KeyPath, Tree, load, parse

if TYPE_CHECKING:
    from pydantic import BaseModel

    from walltriage.case.looks import WallLooks
    from walltriage.case.plan import Plan

Catalogue = Mapping[str, AnswerableQuestion]
Form = TypeVar("Form", bound="BaseModel | Entry")
MOST_TOLD = 20  # mistakes; after as many, entries beside one that is wrong are not looked at
GUESSED = 10 * MOST_TOLD  # unknown names for which a known one is looked for


def read_case(path: Path, questions: Catalogue) -> Case:
    """Read one case; :class:`InputError` with every problem in the file."""
    return case_from(load(path), questions, default_name=path.stem)


def parse_case(text: str, path: str, questions: Catalogue) -> Case:
    """Read one case from text; ``path`` is used in messages only."""
    return case_from(parse(text, path), questions, default_name=path)


def case_from(tree: Tree, questions: Catalogue, default_name: str) -> Case:
    """Build a case from a parsed file."""
    reader = _CaseReader(tree, questions)
    case = reader.case(default_name)
    if reader.problems:
        raise InputError(reader.problems)
    return case


class _CaseReader:
    """Puts a case together piece by piece, so that a mistake in one hides none in another."""

    def __init__(self, tree: Tree, questions: Catalogue) -> None:
        self.tree, self.questions = tree, questions
        self.problems: list[Problem] = []
        self.units = "ft"
        self.about_walls: dict[str, Answer] = {}
        """Given once for the house, as an earlier edition asked; asked of each wall now."""

    def wrong(self, where: KeyPath, what: str, expected: str = "") -> None:
        self.problems.append(self.tree.problem(where, what, expected))

    def form(
        self, kind: type[Form], data: Any, where: KeyPath, needed: Collection[str] = ()
    ) -> Form | None:
        """Data in its form.  What has another one is told, and the rest comes back, so that
        it is checked too; None where a key is wrong that the rest is ``needed`` for.
        """
        plain = plainly(kind, data) if issubclass(kind, Entry) else None
        if plain is not None:
            return plain
        from pydantic import ValidationError

        from walltriage.forms import in_form, problems_from

        try:
            return in_form(kind, data, self.units)
        except ValidationError as error:
            self.problems += problems_from(error, self.tree, kind, where)
            wrong = {_entry(detail["loc"]) for detail in error.errors(include_url=False)}
        if () in wrong or any(place[0] in needed for place in wrong):
            return None
        if len(self.problems) > MOST_TOLD:
            return None
        self.tree = self.tree.without({(*where, *place) for place in wrong})
        try:
            return in_form(kind, self.tree.at(where), self.units)
        except ValidationError:
            return None

    def case(self, default_name: str) -> Case:
        data = self.tree.data
        if not isinstance(data, dict):
            self.wrong((), "not a case", f"expected 'schema: {CASE_SCHEMA}' and the answers")
            return Case()
        if data.get("schema") != CASE_SCHEMA:
            found = data.get("schema")
            what = f"schema is '{found}'" if found else "no schema"
            self.wrong(("schema",), what, f"expected 'schema: {CASE_SCHEMA}'")
            return Case()
        form = self.form(CaseForm, data, ())
        if form is None:
            return Case()
        self.units = form.units
        walls = self.walls(form.walls)
        wall_ids = {wall.id for wall in walls}
        plan = None
        if "plan" in data:
            plan = self.plan(form.plan, wall_ids)
        drawing = form.drawing
        house = self.answers(form.house, ("house",), HOUSE)
        return Case(
            name=form.name or default_name,
            house=house,
            walls=with_answers_of_house(walls, self.about_walls),
            units=form.units,
            role=form.role,
            reach=form.reach,
            client=form.client,
            asked=tuple(self.steps("asked", form.asked, wall_ids)),
            to_name=tuple(self.steps("to_name", form.to_name, wall_ids)),
            story=form.story,
            outcome=form.outcome,
            plan=plan,
            drawing=None if drawing is None else Drawing(drawing.of, tuple(drawing.replies)),
        )

    def walls(self, listed: list[Any]) -> tuple[Wall, ...]:
        walls: dict[str, Wall] = {}
        for index, raw in enumerate(listed):
            where: KeyPath = ("walls", index)
            form = self.form(WallForm, raw, where)
            if form is None:
                continue
            if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9_-]{0,39}", form.id) or form.id == HOUSE:
                expected = "letters, digits, - and _, 40 at most; not 'house'"
                self.wrong((*where, "id"), f"'{form.id}' is not a wall id", expected)
                continue
            if form.id in walls:
                self.wrong((*where, "id"), f"duplicate wall '{form.id}'", "one entry each")
            answers = self.answers(form.answers, (*where, "answers"), "wall")
            looks = self.looks(form.looks, (*where, "looks")) if "looks" in raw else None
            walls[form.id] = Wall(form.id, form.name, answers, looks)
        return tuple(walls.values())

    def plan(self, data: Any, wall_ids: set[str]) -> Plan | None:
        from walltriage.case.forms import PlanFields
        from walltriage.case.plan_read import plan_of

        drawn = self.form(PlanFields, data, ("plan",), ("levels", "parts"))
        return None if drawn is None else plan_of(drawn, wall_ids, self.wrong)

    def looks(self, data: Any, along: KeyPath) -> WallLooks | None:
        from walltriage.case.forms import LooksForm
        from walltriage.case.looks_read import looks_of

        seen = self.form(LooksForm, data, along, ("zero_end",))
        return None if seen is None else looks_of(seen, along, self.wrong)

    def answers(self, data: Any, where: KeyPath, scope: str) -> dict[str, Answer]:
        if not isinstance(data, dict):
            self.wrong(where, "the answers are not question: answer pairs", "expected those")
            return {}
        found: dict[str, Answer] = {}
        for name, raw in data.items():
            here = (*where, name)
            for now, answer in self.read_under(str(name), raw, here, scope):
                before = found.get(now)
                if before is None or not before.is_real:
                    found[now] = answer
                elif answer.is_real and answer.value != before.value:
                    what = f"'{now}' is answered twice, under ids of other editions as well"
                    self.wrong(here, what, f"keep one of {before.given} and {answer.given}")
        return found

    def read_under(
        self, name: str, raw: Any, here: KeyPath, scope: str
    ) -> Iterator[tuple[str, Answer]]:
        """The answers that one entry gives, under the ids of today."""
        bare = raw.get("value") if isinstance(raw, dict) else raw
        try:
            meant = answers_now(self.questions, name, bare) or [(name, bare)]
        except AnswerError as error:
            self.wrong(here, error.what, error.expected)
            return
        for now, value in meant:
            question = self.questions.get(now)
            if question is None:
                few = len(self.problems) <= GUESSED  # nobody reads thousands of guesses
                near = did_you_mean(name, self.questions) if few else ""
                self.wrong(here, f"unknown question '{name}'{near}", "see 'walltriage rules show'")
            elif question.scope != scope and not (scope == HOUSE and was_of_house(question)):
                other = "under 'house'" if scope == "wall" else "under a wall's 'answers'"
                self.wrong(here, f"'{name}' is asked once for the {question.scope}", other)
            elif question.entry.kind == "computed":
                self.wrong(here, f"'{name}' is worked out, not answered", "leave it out")
            else:
                detail = value
                if isinstance(raw, dict):
                    detail = raw | {"value": value} if "value" in raw else raw
                answer = self.answer(now, question, detail, here)
                if answer is not None and question.scope != scope:
                    self.about_walls[now] = answer
                elif answer is not None:
                    yield now, answer

    def answer(
        self, name: str, question: AnswerableQuestion, raw: Any, where: KeyPath
    ) -> Answer | None:
        more: dict[str, Any] = {}
        if isinstance(raw, dict):
            if "value" not in raw:
                self.wrong(where, f"'{name}' has no value", "expected 'value: ...'")
                return None
            form = self.form(AnswerForm, raw, where)
            if form is None:
                return None
            more = {"sure": form.sure, "by": form.by, "seen_on": form.seen_on, "note": form.note}
            raw, where = form.value, (*where, "value")
        try:
            return make_answer(name, question, raw, units=self.units, **more)
        except AnswerError as error:
            self.wrong(where, error.what, error.expected)
            return None

    def subjects(self, subject: str, name: str, walls: Collection[str]) -> list[str]:
        """Whom a step is about today: every wall, where the house was asked in its stead."""
        question = self.questions.get(name)
        if subject != HOUSE or question is None or question.scope == HOUSE:
            return [subject]
        return sorted(walls) if was_of_house(question) else [subject]

    def steps(self, key: str, listed: list[Any], walls: set[str]) -> Iterator[Step]:
        taken: set[Step] = set()
        for index, raw in enumerate(listed):
            where: KeyPath = (key, index)
            match = re.fullmatch(r"([A-Za-z0-9_-]+)/([a-z0-9_]+)(?:@([a-z0-9_]+))?", str(raw))
            asked = asked_now(self.questions, match[2]) if match is not None else []
            if match is None or not asked:
                self.wrong(where, f"'{raw}' is not a step", "expected 'house/QUESTION'")
            elif match[1] != HOUSE and match[1] not in walls:
                self.wrong(where, f"'{raw}' names no wall of this case", ", ".join(sorted(walls)))
            else:
                today = match[2] in self.questions
                meant = [
                    Step(subject, name, match[3] or "")
                    for name in asked
                    for subject in self.subjects(match[1], name, walls)
                ]
                fresh = [step for step in meant if today or step not in taken]
                taken.update(fresh)
                yield from fresh


def with_answers_of_house(walls: tuple[Wall, ...], told: Mapping[str, Answer]) -> tuple[Wall, ...]:
    """The walls with what an earlier edition was told once for the house, where a wall has no
    answer of its own.

    Of several walls nobody knows which one was meant: then it counts as a guess about each.
    """
    if not told:
        return walls
    given = dict(told)
    if len(walls) > 1:
        given = {n: replace(a, sure="guess") if a.is_real else a for n, a in told.items()}
    return tuple(replace(wall, answers={**given, **wall.answers}) for wall in walls)


def _entry(where: tuple[int | str, ...]) -> KeyPath:
    """The key, or the entry of a list under it, that a place in a form is in."""
    return where[:2] if len(where) > 1 and isinstance(where[1], int) else where[:1]
