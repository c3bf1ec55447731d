"""Read case files and transcripts: YAML or JSON, every mistake with its place."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from walltriage.case.answers import AnswerError, Asked, make_answer
from walltriage.case.earlier_ids import answers_now, asked_now
from walltriage.case.looks_read import read_looks
from walltriage.case.model import (
    CASE_SCHEMA,
    CHECKED,
    HOUSE,
    ROLES,
    SURENESS,
    Answer,
    Case,
    Drawing,
    Step,
    Wall,
)
from walltriage.case.plan_read import read_plan
from walltriage.errors import InputError, Problem, did_you_mean
from walltriage.units import LENGTH_UNITS
from walltriage.yamltree import KeyPath, Tree, load, parse

Catalogue = Mapping[str, Asked]
_CASE_KEYS = (
    "schema", "name", "story", "for", "reach", "units", "plan", "house", "walls", "asked",
    "drawing", "outcome",
)  # fmt: skip
_WALL_KEYS = ("id", "name", "answers", "looks")
_ANSWER_KEYS = ("value", "sure", "by", "seen_on", "note")


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
    def __init__(self, tree: Tree, questions: Catalogue) -> None:
        self.tree, self.questions = tree, questions
        self.problems: list[Problem] = []
        self.units = "ft"

    def wrong(self, where: KeyPath, what: str, expected: str = "") -> None:
        self.problems.append(self.tree.problem(where, what, expected))

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
        self.known_keys(data, (), _CASE_KEYS)
        self.units = self.one_of(data, ("units",), LENGTH_UNITS, "ft")
        walls = self.walls(data.get("walls", []))
        plan = None
        if "plan" in data:
            plan = read_plan(data["plan"], {wall.id for wall in walls}, self.units, self.wrong)
        return Case(
            name=self.text(data, ("name",)) or default_name,
            house=self.answers(data.get("house", {}), ("house",), HOUSE),
            walls=walls,
            units=self.units,
            role=self.one_of(data, ("for",), ROLES, "buyer"),
            reach=self.one_of(data, ("reach",), (0, 1, 2, 3, 4), 4),
            asked=self.steps(data.get("asked", []), {wall.id for wall in walls}),
            story=self.text(data, ("story",)),
            outcome=data.get("outcome"),
            plan=plan,
            drawing=self.drawing(data["drawing"]) if "drawing" in data else None,
        )

    def known_keys(self, data: Mapping[str, Any], where: KeyPath, known: tuple[str, ...]) -> None:
        for key in data:
            if key not in known:
                near = did_you_mean(str(key), known)
                self.wrong((*where, key), f"unknown key '{key}'{near}", ", ".join(known))

    def one_of(self, data: Mapping[Any, Any], where: KeyPath, known: Any, default: Any) -> Any:
        value = data.get(where[-1], default)
        if value not in known or isinstance(value, bool):
            words = ", ".join(map(str, known))
            self.wrong(where, f"'{value}' is not allowed for '{where[-1]}'", f"expected {words}")
            return default
        return value

    def text(self, data: Mapping[Any, Any], where: KeyPath) -> str:
        value = data.get(where[-1], "")
        if isinstance(value, dict | list) or value is None:
            self.wrong(where, f"'{where[-1]}' is not text", "expected some words")
            return ""
        return str(value)

    def walls(self, data: Any) -> tuple[Wall, ...]:
        if not isinstance(data, list):
            self.wrong(("walls",), "'walls' is not a list", "expected '- id: ...' for each wall")
            return ()
        walls: dict[str, Wall] = {}
        for index, raw in enumerate(data):
            where: KeyPath = ("walls", index)
            if not isinstance(raw, dict) or "id" not in raw:
                self.wrong(where, "a wall without an id", "expected 'id: w1' and 'answers:'")
                continue
            self.known_keys(raw, where, _WALL_KEYS)
            wall_id = str(raw["id"])
            if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9_-]{0,39}", wall_id) or wall_id == HOUSE:
                expected = "letters, digits, - and _, 40 at most; not 'house'"
                self.wrong((*where, "id"), f"'{wall_id}' is not a wall id", expected)
                continue
            if wall_id in walls:
                self.wrong((*where, "id"), f"duplicate wall '{wall_id}'", "one entry each")
            name = self.text(raw, (*where, "name")) if "name" in raw else ""
            answers = self.answers(raw.get("answers", {}), (*where, "answers"), "wall")
            looks = None
            if "looks" in raw:
                looks = read_looks(raw["looks"], (*where, "looks"), self.units, self.wrong)
            walls[wall_id] = Wall(wall_id, name, answers, looks)
        return tuple(walls.values())

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
                near = did_you_mean(name, self.questions)
                self.wrong(here, f"unknown question '{name}'{near}", "see 'walltriage rules show'")
            elif question.scope != scope:
                other = "under 'house'" if scope == "wall" else "under a wall's 'answers'"
                self.wrong(here, f"'{name}' is asked once for the {question.scope}", other)
            elif question.entry.kind == "computed":
                self.wrong(here, f"'{name}' is worked out, not answered", "leave it out")
            else:
                told = value
                if isinstance(raw, dict):
                    told = raw | {"value": value} if "value" in raw else raw
                answer = self.answer(now, question, told, here)
                if answer is not None:
                    yield now, answer

    def answer(self, name: str, question: Asked, raw: Any, where: KeyPath) -> Answer | None:
        more: dict[str, Any] = {}
        if isinstance(raw, dict):
            self.known_keys(raw, where, _ANSWER_KEYS)
            if "value" not in raw:
                self.wrong(where, f"'{name}' has no value", "expected 'value: ...'")
                return None
            if raw.get("sure") == CHECKED:
                raw = raw | {"sure": SURENESS[0]}
            more["sure"] = self.one_of(raw, (*where, "sure"), SURENESS, "certain")
            for key in ("by", "seen_on", "note"):
                more[key] = self.text(raw, (*where, key))
            raw, where = raw["value"], (*where, "value")
        try:
            return make_answer(name, question, raw, units=self.units, **more)
        except AnswerError as error:
            self.wrong(where, error.what, error.expected)
            return None

    def drawing(self, data: Any) -> Drawing | None:
        replies = data.get("replies") if isinstance(data, dict) else None
        if not (
            isinstance(replies, list)
            and data.keys() == {"of", "replies"}
            and isinstance(data["of"], str)
            and all(reply is None or isinstance(reply, str) for reply in replies)
        ):
            self.wrong(("drawing",), "not an unfinished drawing", "leave 'drawing' out")
            return None
        return Drawing(data["of"], tuple(replies))

    def steps(self, data: Any, walls: set[str]) -> tuple[Step, ...]:
        steps: list[Step] = []
        for index, raw in enumerate(data if isinstance(data, list) else ()):
            where: KeyPath = ("asked", index)
            match = re.fullmatch(r"([A-Za-z0-9_-]+)/([a-z0-9_]+)", str(raw))
            asked = asked_now(self.questions, match[2]) if match is not None else []
            if match is None or not asked:
                self.wrong(where, f"'{raw}' is not a step", "expected 'house/QUESTION'")
            elif match[1] != HOUSE and match[1] not in walls:
                self.wrong(where, f"'{raw}' names no wall of this case", ", ".join(sorted(walls)))
            else:
                today = match[2] in self.questions
                meant = [Step(match[1], name) for name in asked]
                steps += [step for step in meant if today or step not in steps]
        if not isinstance(data, list):
            self.wrong(("asked",), "'asked' is not a list", "expected '- house/QUESTION'")
        return tuple(steps)
