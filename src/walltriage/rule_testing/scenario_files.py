"""Read whole-wall scenarios: a story, its answers, what must come out, and near misses.

A scenario file is a list of::

    - name: short and unlike the others
      story: what a builder would tell
      house: {question: answer}            # as in a case file; may be left out
      answers: {question: answer}          # of the wall
      expect:
        verdict: likely_bearing | likely_non_bearing | cannot_tell
        fires: [rule ids]                  # these at least
        not_fires: [rule ids]
        paths: {load path: established | ruled_out | open}
      near_misses:
        - change: {question: answer}       # one answer, changed or added
          because: why the outcome changes
          expect: {...}                    # as above; must not hold without the change
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from walltriage.case.model import CASE_SCHEMA, HOUSE, Case
from walltriage.case.read import case_from
from walltriage.errors import InputError, Problem, did_you_mean, refuse
from walltriage.knowledge.base import KnowledgeBase
from walltriage.rule_testing.scenarios import WALL, Expectation, NearMiss, Scenario
from walltriage.yamltree import KeyPath, Tree, load

VERDICTS = ("likely_bearing", "likely_non_bearing", "cannot_tell")
STATUSES = ("established", "ruled_out", "open")
_KEYS = ("name", "story", "house", "answers", "expect", "near_misses")
_MISS_KEYS = ("change", "because", "expect")
_EXPECT_KEYS = ("verdict", "fires", "not_fires", "paths")


def read_scenarios(folder: Path, base: KnowledgeBase) -> list[Scenario]:
    """Every scenario of the folder's YAML files; :class:`InputError` with all problems."""
    scenarios: list[Scenario] = []
    problems: list[Problem] = []
    if not folder.is_dir():
        raise refuse(folder, "no such folder", "expected scenario files")
    for path in sorted(folder.glob("*.yaml")):
        try:
            reader = _ScenarioReader(load(path), base)
            scenarios += reader.scenarios()
            problems += reader.problems
        except InputError as error:
            problems += error.problems
    first: dict[str, Scenario] = {}
    for scenario in scenarios:
        if scenario.name in first:
            where = "{}:{}:{}".format(*first[scenario.name].place)
            what = f"the name '{scenario.name}' is taken"
            problems.append(Problem(*scenario.place, what, f"first at {where}"))
        first.setdefault(scenario.name, scenario)
    if problems:
        raise InputError(problems)
    return scenarios


class _ScenarioReader:
    """Checks one scenario file and builds its cases."""

    def __init__(self, tree: Tree, base: KnowledgeBase) -> None:
        self.tree, self.base = tree, base
        self.problems: list[Problem] = []
        self.rules = {rule.id for _, rule in base.rules()}

    def wrong(self, where: KeyPath, what: str, expected: str) -> None:
        self.problems.append(self.tree.problem(where, what, expected))

    def scenarios(self) -> list[Scenario]:
        if not isinstance(self.tree.data, list):
            self.wrong((), "not a list of scenarios", "expected '- name: ...' for each")
            return []
        found = [self.scenario((index,), raw) for index, raw in enumerate(self.tree.data)]
        return [scenario for scenario in found if scenario is not None]

    def scenario(self, where: KeyPath, raw: Any) -> Scenario | None:
        if not self.mapping(where, raw, _KEYS, ("name", "story", "answers", "expect")):
            return None
        house, answers = raw.get("house", {}), raw["answers"]
        origin = {HOUSE: (*where, "house"), WALL: (*where, "answers")}
        case = self.case(str(raw["name"]), str(raw["story"]), house, answers, origin)
        expect = self.expectation((*where, "expect"), raw["expect"])
        misses = raw.get("near_misses", [])
        if not isinstance(misses, list):
            self.wrong((*where, "near_misses"), "not a list", "expected '- change: ...'")
            misses = []
        near = [
            self.near_miss((*where, "near_misses", index), raw, miss)
            for index, miss in enumerate(misses)
        ]
        if case is None or expect is None or len([m for m in near if m]) < len(near):
            return None
        place = (self.tree.path, *self.tree.place(where))
        return Scenario(case.name, case, expect, tuple(m for m in near if m), place)

    def near_miss(self, where: KeyPath, whole: Mapping[str, Any], raw: Any) -> NearMiss | None:
        if not self.mapping(where, raw, _MISS_KEYS, _MISS_KEYS):
            return None
        change = raw["change"]
        if not isinstance(change, dict) or len(change) != 1:
            self.wrong((*where, "change"), "not one changed answer", "expected {question: answer}")
            return None
        if not all(isinstance(s, dict) for s in (whole.get("house", {}), whole["answers"])):
            return None  # told where the scenario itself is read
        ((name, value),) = change.items()
        if name not in self.base.questions:
            near = did_you_mean(str(name), self.base.questions)
            self.wrong(
                (*where, "change", name), f"unknown question '{name}'{near}", "see 'rules show'"
            )
            return None
        scope = self.base.questions[name].scope
        sides = {HOUSE: dict(whole.get("house", {})), WALL: dict(whole["answers"])}
        if sides[scope].get(name) == value:
            self.wrong((*where, "change", name), "changes nothing", "expected another answer")
            return None
        sides[scope][name] = value
        origin = {side: (*where[:-2], key) for side, key in ((HOUSE, "house"), (WALL, "answers"))}
        before = len(self.problems)
        case = self.case(
            f"{whole['name']}: {raw['because']}", "", sides[HOUSE], sides[WALL], origin,
            {name: (*where, "change", name)},
        )  # fmt: skip
        expect = self.expectation((*where, "expect"), raw["expect"])
        if case is None or expect is None or len(self.problems) > before:
            return None
        place = (self.tree.path, *self.tree.place(where))
        return NearMiss(str(raw["because"]), case, expect, place)

    def mapping(
        self, where: KeyPath, raw: Any, known: tuple[str, ...], needed: tuple[str, ...]
    ) -> bool:
        """Whether the keys are right; tells every one that is not."""
        if not isinstance(raw, dict):
            self.wrong(where, "not key: value pairs", f"expected {', '.join(known)}")
            return False
        for key in raw:
            if key not in known:
                near = did_you_mean(str(key), known)
                self.wrong((*where, key), f"unknown key '{key}'{near}", ", ".join(known))
        for key in needed:
            if key not in raw:
                self.wrong(where, f"missing key '{key}'", "expected it beside the others here")
        return set(needed) <= set(raw) <= set(known)

    def case(
        self, name: str, story: str, house: Any, answers: Any,
        origin: Mapping[str, KeyPath], changed: Mapping[str, KeyPath] | None = None,
    ) -> Case | None:  # fmt: skip
        """The answers read as a case file is, with places in the scenario file."""
        data = {
            "schema": CASE_SCHEMA, "name": name, "story": story, "house": house,
            "walls": [{"id": WALL, "answers": answers}],
        }  # fmt: skip
        roots: dict[str, KeyPath] = {HOUSE: ("house",), WALL: ("walls", 0, "answers")}
        places: dict[KeyPath, tuple[int, int]] = {(): self.tree.place(origin[WALL][:-1])}
        for side, root in roots.items():
            places[root] = self.tree.place(origin[side])
            given = house if side == HOUSE else answers
            for question, value in given.items() if isinstance(given, dict) else ():
                for key in ((), *((k,) for k in (value if isinstance(value, dict) else ()))):
                    where = (*origin[side], question, *key)
                    places[(*root, question, *key)] = self.tree.place(where)
            for question, where in (changed or {}).items():
                places[(*root, question)] = self.tree.place(where)
        try:
            return case_from(Tree(self.tree.path, data, places), self.base.questions, name)
        except InputError as error:
            before = set(self.problems)
            self.problems += [problem for problem in error.problems if problem not in before]
            return None

    def expectation(self, where: KeyPath, raw: Any) -> Expectation | None:
        if not self.mapping(where, raw, _EXPECT_KEYS, ()):
            return None
        before = len(self.problems)
        if not raw:
            self.wrong(where, "expects nothing", f"expected some of {', '.join(_EXPECT_KEYS)}")
        verdict = raw.get("verdict")
        if verdict is not None:
            self.word((*where, "verdict"), verdict, VERDICTS, "verdict")
        lists = {}
        for key in ("fires", "not_fires"):
            lists[key] = raw.get(key, [])
            if not isinstance(lists[key], list):
                self.wrong((*where, key), f"'{key}' is not a list", "expected [rule ids]")
                continue
            for index, name in enumerate(lists[key]):
                self.word((*where, key, index), name, self.rules, "rule")
        paths = raw.get("paths", {})
        if not isinstance(paths, dict):
            self.wrong((*where, "paths"), "'paths' is not pairs", "expected {load path: status}")
            return None
        for name, status in paths.items():
            self.word((*where, "paths", name), name, self.base.paths, "load path")
            self.word((*where, "paths", name), status, STATUSES, "status")
        if len(self.problems) > before:
            return None
        return Expectation(verdict, tuple(lists["fires"]), tuple(lists["not_fires"]), paths)

    def word(self, where: KeyPath, word: Any, known: Any, what: str) -> None:
        if word not in known:
            names = sorted(known)
            shown = ", ".join(names[:8]) + (" ..." if len(names) > 8 else "")
            near = did_you_mean(str(word), names)
            self.wrong(where, f"unknown {what} '{word}'{near}", f"expected one of {shown}")
