"""Random knowledge bases that use every form a rule may take, of any size."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import yaml

KINDS = ("seen", "measured", "recalled", "judged")
CARRIED = {
    "says": "It is so.", "source": "elicited", "limits": ["invented"], "status": "reviewed",
    "cases": {"fires": [{}], "quiet": [{}]},
}  # fmt: skip


def make_rules(
    folder: Path,
    seed: int,
    *,
    questions: int = 20,
    facts: int = 10,
    paths: int = 4,
    clues: int = 15,
    others: int = 8,
) -> Path:
    """Write a knowledge base into ``folder`` (made if missing) and return it."""
    maker = _Maker(random.Random(seed))
    asked = [maker.question(index) for index in range(questions)]
    derived = [maker.fact(index) for index in range(facts)]
    made = [maker.path(index) for index in range(paths)]
    for index in range(paths):
        maker.borrow(made, index)
    for index in range(clues):
        maker.clue(made, index)
    guards, cautions = maker.guards(others), maker.cautions(others)
    files: dict[str, Any] = {
        "questions/house.yaml": {"place": "desk", "scope": "house", "questions": asked[::4]},
        "questions/wall.yaml": {
            "place": "rooms",
            "scope": "wall",
            "questions": [entry for index, entry in enumerate(asked) if index % 4],
        },
        "situation.yaml": {"facts": derived},
        "scope.yaml": {"scope": maker.scope()},
        "contradictions.yaml": {"contradictions": maker.contradictions(others)},
        "guards.yaml": guards,
        "cautions.yaml": cautions,
        "measures.yaml": maker.measures(),
        "sources.yaml": {"book": {"title": "A book", "edition": "first", "provenance": "memory"}},
    } | {f"load_paths/{entry['path']}.yaml": entry for entry in made}
    for name, data in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(yaml.safe_dump(data, sort_keys=False), encoding="utf-8")
    return folder


class _Maker:
    def __init__(self, draw: random.Random) -> None:
        self.draw = draw
        self.asked: list[dict[str, Any]] = []
        self.facts: list[tuple[str, str]] = []
        self.states: dict[str, list[str]] = {}
        self.signs: list[str] = []

    def question(self, index: int) -> dict[str, Any]:
        draw = self.draw
        form = draw.choice(["choice"] * 5 + ["length", "number", "text"])
        entry: dict[str, Any] = {
            "id": f"q{index}", "ask": "Is it?", "why": "It tells.", "look": "There.",
            "effort": draw.randrange(5), "kind": draw.choice(KINDS), "answer": form,
            "place": draw.choice(["rooms", "attic", "below"]), "first": draw.random() < 0.1,
        }  # fmt: skip
        if form == "choice":
            entry["options"] = [
                {"id": f"o{n}", "says": "This one", "means": "this"}
                for n in range(draw.randint(2, 6))
            ]
        elif form != "text":
            entry |= {"least": 1, "most": 100}
            if draw.random() < 0.7:
                entry["bands"] = [
                    {"id": "low", "means": "low", "under": 20},
                    {"id": "middle", "means": "middle", "under": 60},
                    {"id": "high", "means": "high"},
                ]
        if index > 3 and draw.random() < 0.4:
            entry["applies"] = self.term(2)
        self.asked.append(entry)
        return entry

    def values(self, entry: dict[str, Any]) -> list[str]:
        return [item["id"] for item in entry.get("options", entry.get("bands", []))]

    def term(self, depth: int, belief: bool = False) -> dict[str, Any]:
        """A random condition over what has been made so far."""
        draw = self.draw
        if depth and draw.random() < 0.5:
            word = draw.choice(["all", "any", "not"])
            if word == "not":
                return {"not": self.term(depth - 1, belief)}
            return {word: [self.term(depth - 1, belief) for _ in range(draw.randint(1, 3))]}
        if belief and draw.random() < 0.5:
            return self.belief_leaf()
        if self.facts and draw.random() < 0.3:
            name, value = draw.choice(self.facts)
            return {"fact": name, "is": value} if draw.random() < 0.8 else {"fact": name}
        return self.answer_leaf()

    def answer_leaf(self) -> dict[str, Any]:
        draw, entry = self.draw, self.draw.choice(self.asked)
        name, values = entry["id"], [*self.values(entry), "unknown", "out_of_reach"]
        if entry["answer"] in ("length", "number") and draw.random() < 0.6:
            word = draw.choice(["at_least", "at_most", "above", "below"])
            return {"answer": name, word: draw.randint(2, 90)}
        form = draw.random()
        if form < 0.15:
            return {"answered": name}
        if form < 0.2:
            return {"answer": name}
        if form < 0.6:
            return {"answer": name, "is": draw.choice(values)}
        return {"answer": name, "in": draw.sample(values, draw.randint(1, min(3, len(values))))}

    def belief_leaf(self) -> dict[str, Any]:
        draw, path = self.draw, self.draw.choice(list(self.states))
        return draw.choice([
            {"path": path, "is": draw.choice(["established", "ruled_out", "open"])},
            {"path": path, "in": ["ruled_out", "open"]},
            {"seen_against": path},
            {"measure": "lower", "at_least": "bearing_at_least"},
            {"measure": "upper", "at_most": "non_bearing_at_most"},
            {"measure": "upper_without_adverse", "above": "non_bearing_at_most"},
            {"measure": "middle", "above": "path_ruled_out_at_most"},
            {"sign": "any"},
        ])  # fmt: skip

    def fact(self, index: int) -> dict[str, Any]:
        when = self.term(2)
        name, value = f"known{index // 2}", self.draw.choice(["yes", "no"])
        # a fact that reads its own name would be a circle
        while f"'{name}'" in str(when):
            when = self.term(2)
        self.facts.append((name, value))
        return {"id": f"fact_{index}", "when": when, "concludes": {name: value}} | CARRIED

    def row(self, names: list[str]) -> dict[str, int]:
        """Counts in 100 over ``names``, none of them nothing."""
        cuts = sorted(self.draw.sample(range(1, 100), len(names) - 1))
        return {
            name: high - low
            for name, low, high in zip(names, [0, *cuts], [*cuts, 100], strict=True)
        }

    def given(self, states: list[str]) -> dict[str, Any]:
        return {"bearing": self.row(states), "not_bearing": self.row(states)}

    def path(self, index: int) -> dict[str, Any]:
        draw, name = self.draw, f"path_{index}"
        rates = []
        for number in range(draw.randint(0, 2) + 1):
            low = draw.choice([0, 1, 5, 20, 80])
            high = draw.randint(low, min(low + 30, 100))
            rates.append({"id": f"rate_{index}_{number}", "in_100": [low, high]} | CARRIED)
        for rate in rates[:-1]:
            rate["when"] = self.term(2)
        conditions = []
        for number in range(draw.randint(1, 3)):
            states = [f"s{n}" for n in range(draw.randint(2, 4))]
            self.states[name] = states
            conditions.append(
                {
                    "id": f"condition_{index}_{number}", "says": "how it is",
                    "states": dict.fromkeys(states, "so"), "given": self.given(states),
                    "source": "elicited", "limits": ["invented"],
                }
            )  # fmt: skip
        signs = []
        for number in range(draw.randint(0, 2)):
            when = {"all": [self.term(1), self.answer_leaf(), self.answer_leaf()]}
            signs.append({"id": f"sign_{index}_{number}", "when": when} | CARRIED)
        entry = {
            "path": name, "title": "A path", "says": "It bears.", "settled_by": "Looking.",
            "bears": draw.random() < 0.8, "base_rates": rates, "conditions": conditions,
            "uses": [], "clues": [], "signs": signs,
        }  # fmt: skip
        return entry

    def borrow(self, made: list[dict[str, Any]], index: int) -> None:
        """Let a path use conditions that other paths define."""
        for other in made[:index] + made[index + 1 :]:
            for condition in other["conditions"]:
                if self.draw.random() < 0.25:
                    states = list(condition["states"])
                    made[index]["uses"].append(
                        {"id": condition["id"], "given": self.given(states)}
                        | {"source": "elicited", "limits": ["invented"]}
                    )

    def clue(self, made: list[dict[str, Any]], index: int) -> None:
        draw, path = self.draw, self.draw.choice(made)
        condition = draw.choice(path["conditions"])
        entry = draw.choice([e for e in self.asked if len(self.values(e)) > 1])
        shows = {state: self.row(self.values(entry)) for state in condition["states"]}
        clue: dict[str, Any] = {
            "id": f"clue_{index}", "condition": condition["id"], "question": entry["id"],
            "shows": shows,
        }  # fmt: skip
        clue |= CARRIED | {"status": "retired" if draw.random() < 0.05 else "reviewed"}
        if draw.random() < 0.3:
            clue["when"] = self.term(2)
        path["clues"].append(clue)

    def scope(self) -> list[dict[str, Any]]:
        return [
            {"id": f"scope_{n}", "refer": "Ask."}
            | {"when": {"all": [self.term(1), self.answer_leaf()]}}
            | CARRIED
            for n in range(2)
        ]

    def contradictions(self, count: int) -> list[dict[str, Any]]:
        return [
            {"id": f"clash_{n}", "questions": ["q0"]}
            | {"when": {"all": [self.answer_leaf(), self.answer_leaf()]}}
            | CARRIED
            for n in range(count)
        ]

    def guards(self, count: int) -> dict[str, Any]:
        verdict = {"likely_bearing": "lower", "likely_non_bearing": "upper"}
        tests = {
            "lower": {"at_least": "bearing_at_least"},
            "upper": {"at_most": "non_bearing_at_most"},
        }
        clash = [{"scope": "any"}, {"contradiction": "clash_0"}]
        return {
            "version": "made", "seen_kinds": ["seen", "measured"],
            "costs": {
                "missed_bearing": 200, "false_bearing": 5, "cannot_tell": 1, "source": "elicited",
            },
            "reliability": {
                "kinds": dict(zip(KINDS, (0.97, 0.92, 0.8, 0.75), strict=True)),
                "sureness": {"confirmed": 1.0, "certain": 1.0, "fairly": 0.93, "guess": 0.65},
                "checked": dict(zip(KINDS, (0.985, 0.96, 0.9, 0.875), strict=True)),
                "condition_misread": 0.02, "source": "elicited",
            },
            "thresholds": {
                "non_bearing_at_most": 0.01, "bearing_at_least": 0.8,
                "path_ruled_out_at_most": 0.01, "path_established_at_least": 0.8,
                "decisive_sign_at_least": 0.95, "told_sign_at_least": 0.2,
                "confirmed_sign_at_least": 0.3, "contrary_answer_at_least": 2,
            },
            "threshold_notes": {},
            "gates": [
                {"id": f"gate_{n}", "when": {"all": [self.term(1, True), self.answer_leaf()]},
                 "withholds": "likely_non_bearing"} | CARRIED for n in range(count // 2)
            ] + [
                {"id": "gate_doubt", "when": {"any": clash},
                 "withholds": "likely_non_bearing"} | CARRIED,
            ],
            "verdicts": [
                {"id": f"verdict_{name}", "concludes": name, "when": {"all": [
                    {"measure": measure, **tests[measure]}, {"not": {"block": "any"}}]}} | CARRIED
                for name, measure in verdict.items()
            ],
        }  # fmt: skip

    def measures(self) -> dict[str, Any]:
        numbers = [e["id"] for e in self.asked if e["answer"] in ("length", "number")]
        readings = [{"question": name} for name in numbers]
        return {
            "span_need": None, "asked_for_numbers": numbers[:3],
            "inputs": {"opening": readings}, "assumed": {},
            "reported_from": {"chance": 0.5, "source": "common practice"},
            "reports": {}, "narrowed_by": {},
        }  # fmt: skip

    def cautions(self, count: int) -> dict[str, Any]:
        return {
            "cautions": [
                {"id": f"caution_{n}", "when": self.term(2, True)} | CARRIED for n in range(count)
            ],
            "referrals": [
                {"id": f"refer_{level}", "level": level,
                 "when": {"any": [{"verdict": "likely_bearing"}, self.term(1, True)]}} | CARRIED
                for level in ("advised", "urgent")
            ],
        }  # fmt: skip
