"""Small faults put into the rules on purpose, to see whether the checks notice.

A mutant is one file of the rules with one thing changed.  It is killed by the first check that
objects: reading, the rules' own cases, lints, proofs, scenarios.  Mutants of the *safety* class
are those that could let a bearing wall pass as non-bearing.
"""

from __future__ import annotations

import copy
import random
import shutil
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from walltriage.errors import InputError
from walltriage.inference.evaluate import Evaluator
from walltriage.inference.lints import ALL_LINTS
from walltriage.inference.rule_cases import run_cases
from walltriage.inference.scenario_files import read_scenarios
from walltriage.inference.scenarios import failures
from walltriage.inference.slices import Slices
from walltriage.inference.triage import Triager
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.lints.model import run_lints
from walltriage.knowledge.load import load_knowledge
from walltriage.yamltree import load as load_tree

Document = dict[str, Any]
Documents = dict[str, Document]
GUARDS, SITUATION, CAUTIONS = "guards.yaml", "situation.yaml", "cautions.yaml"
STAGES = ("load", "cases", "lints", "proofs", "scenarios")


@dataclass(frozen=True, slots=True)
class Mutant:
    """One changed file: ``where`` names the rule, ``safety`` its class."""

    operator: str
    where: str
    safety: bool
    path: str
    document: Document


Changed = Iterator[tuple[str, Callable[[Document], None]]]


def read_documents(folder: Path) -> Documents:
    """Every YAML file of a rules folder as plain data, by its path within the folder."""
    return {
        str(path.relative_to(folder)): load_tree(path).data
        for path in sorted(folder.rglob("*.yaml"))
    }


def mutants(documents: Documents) -> Iterator[Mutant]:
    """Every mutant of every operator, in order."""
    for operator, (make, safety) in OPERATORS.items():
        for path, document in documents.items():
            for where, change in make(path, document):
                changed = copy.deepcopy(document)
                change(changed)
                if changed != document:
                    yield Mutant(operator, where, safety, path, changed)


def sample(documents: Documents, count: int, seed: int) -> list[Mutant]:
    """At most ``count`` mutants, every one of the safety class that is small in number first."""
    every = list(mutants(documents))
    draw = random.Random(seed)
    by_operator: dict[str, list[Mutant]] = {}
    for mutant in every:
        by_operator.setdefault(mutant.operator, []).append(mutant)
    for group in by_operator.values():
        draw.shuffle(group)
    chosen: list[Mutant] = []
    while len(chosen) < min(count, len(every)):
        for group in by_operator.values():
            if group and len(chosen) < count:
                chosen.append(group.pop())
    return chosen


# operators: each yields (rule id, change) for one document


def _listed(document: Document, *keys: str) -> Iterator[tuple[str, int, Document]]:
    for key in keys:
        for index, entry in enumerate(document.get(key) or ()):
            if isinstance(entry, dict):  # other files use the same words for other things
                yield key, index, entry


def _whens(document: Document) -> Iterator[tuple[str, int, Document]]:
    keys = ("signs", "scope", "contradictions", "gates", "verdicts", "facts", "base_rates", "clues",
            "cautions", "referrals")  # fmt: skip
    for key, index, entry in _listed(document, *keys):
        if entry.get("when") is not None:
            yield key, index, entry


def _drop(*keys: str) -> Callable[[str, Document], Changed]:
    def make(path: str, document: Document) -> Changed:
        for key, index, entry in _listed(document, *keys):
            yield entry["id"], lambda d, k=key, i=index: d[k].pop(i)

    return make


def _on_when(change: Callable[[Any], Any]) -> Callable[[str, Document], Changed]:
    """An operator on the condition of a rule; ``change`` gives a new one or None."""

    def make(path: str, document: Document) -> Changed:
        for key, index, entry in _whens(document):
            new = change(copy.deepcopy(entry["when"]))
            if new is not None:
                yield entry["id"], lambda d, k=key, i=index, n=new: d[k][i].update(when=n)

    return make


def _on_tests(change: Callable[[Document], None]) -> Callable[[str, Document], Changed]:
    """An operator on each single test within the conditions of rules."""

    def make(path: str, document: Document) -> Changed:
        for key, index, entry in _whens(document):
            for number, _ in enumerate(_tests(entry["when"])):

                def alter(d: Document, k: str = key, i: int = index, n: int = number) -> None:
                    change(list(_tests(d[k][i]["when"]))[n])

                yield entry["id"], alter

    return make


def _tests(term: Any) -> Iterator[Document]:
    if not isinstance(term, dict):
        return
    for word in ("all", "any"):
        if word in term:
            for part in term[word]:
                yield from _tests(part)
            return
    if "not" in term:
        yield from _tests(term["not"])
    else:
        yield term


def _negate(term: Any) -> Any:
    return term.get("not", {"not": term})


def _swap_all_any(term: Any) -> Any:
    if "all" in term:
        return {"any": term["all"]}
    return {"all": term["any"]} if "any" in term else None


def _drop_part(term: Any) -> Any:
    for word in ("all", "any"):
        if word in term and len(term[word]) > 1:
            return {word: term[word][:-1]}
    return None


def _add_unknown(test: Document) -> None:
    if "answer" in test and ("is" in test or "in" in test):
        values = test.pop("in", None) or [test.pop("is")]
        test["in"] = [*values, "unknown"]


def _narrow(test: Document) -> None:
    if "answer" in test and len(test.get("in", ())) > 1:
        test["in"] = test["in"][1:]


def _turn_comparison(test: Document) -> None:
    turned = {"at_least": "at_most", "at_most": "at_least", "above": "below", "below": "above"}
    for word, other in turned.items():
        if word in test:
            test[other] = test.pop(word)
            return


def _only_real(test: Document) -> None:
    if "is" in test and "answer" in test:
        del test["is"]
        test["answered"] = test.pop("answer")


def _clues(change: Callable[[Document], None]) -> Callable[[str, Document], Changed]:
    def make(path: str, document: Document) -> Changed:
        for key, index, entry in _listed(document, "clues"):
            yield entry["id"], lambda d, k=key, i=index: change(d[k][i])

    return make


def _flip_states(clue: Document) -> None:
    names, rows = list(clue["shows"]), list(clue["shows"].values())
    clue["shows"] = dict(zip(names, reversed(rows), strict=True))


def _swap_answers(clue: Document) -> None:
    for row in clue["shows"].values():
        names = list(row)
        row[names[0]], row[names[-1]] = row[names[-1]], row[names[0]]


def _sharpen(clue: Document) -> None:
    rows = list(clue["shows"].values())
    for row, last in ((rows[0], False), (rows[-1], True)):
        names = list(row)
        rest = len(names) - 1
        for name in names:
            row[name] = 1
        row[names[-1] if last else names[0]] = 100 - rest


def _flip_given(path: str, document: Document) -> Changed:
    for key, index, entry in _listed(document, "conditions", "uses"):

        def swap(d: Document, k: str = key, i: int = index) -> None:
            given = d[k][i]["given"]
            given["bearing"], given["not_bearing"] = given["not_bearing"], given["bearing"]

        yield entry["id"], swap


def _lower_rate(path: str, document: Document) -> Changed:
    for key, index, entry in _listed(document, "base_rates"):

        def lower(d: Document, k: str = key, i: int = index) -> None:
            d[k][i]["in_100"] = [share / 10 for share in d[k][i]["in_100"]]

        yield entry["id"], lower


def _move_clue(path: str, document: Document) -> Changed:
    conditions = [c["id"] for c in document.get("conditions") or ()]
    for key, index, entry in _listed(document, "clues"):
        others = [c for c in conditions if c != entry["condition"]]
        if others:
            yield entry["id"], lambda d, k=key, i=index, c=others[0]: d[k][i].update(condition=c)


def _thresholds(path: str, document: Document) -> Changed:
    looser = {"bearing_at_least": 1.2, "path_established_at_least": 1.2,
              "decisive_sign_at_least": 0.001}  # fmt: skip
    for name, value in (document.get("thresholds") or {}).items():
        factor = looser.get(name, 20.0)
        yield name, lambda d, n=name, v=value, f=factor: d["thresholds"].update({n: v * f})


def _reliability(path: str, document: Document) -> Changed:
    for group in ("kinds", "sureness"):
        for name in (document.get("reliability") or {}).get(group, {}):
            yield (
                f"{group}.{name}",
                lambda d, g=group, n=name: d["reliability"][g].update({n: 0.999}),
            )
    for name in document.get("seen_kinds") or ():
        others = [k for k in ("recalled", "judged") if k not in document["seen_kinds"]]
        if others:
            yield name, lambda d, o=others[0]: d["seen_kinds"].append(o)


def _not_bears(path: str, document: Document) -> Changed:
    if "path" in document and document.get("bears", True):
        yield document["path"], lambda d: d.update(bears=False)


OPERATORS: dict[str, tuple[Callable[[str, Document], Changed], bool]] = {
    "drop a decisive sign": (_drop("signs"), True),
    "drop a gate": (_drop("gates"), True),
    "drop a scope guard": (_drop("scope"), True),
    "drop a contradiction": (_drop("contradictions"), True),
    "drop a fact": (_drop("facts"), False),
    "drop a clue": (_drop("clues"), False),
    "drop a base rate": (_drop("base_rates"), False),
    "loosen a threshold": (_thresholds, True),
    "let don't-know speak": (_on_tests(_add_unknown), False),
    "take any answer": (_on_tests(_only_real), False),
    "narrow a set": (_on_tests(_narrow), False),
    "turn a comparison": (_on_tests(_turn_comparison), False),
    "negate a condition": (_on_when(_negate), False),
    "all for any": (_on_when(_swap_all_any), False),
    "drop a part of a condition": (_on_when(_drop_part), False),
    "flip the states of a clue": (_clues(_flip_states), True),
    "swap the answers of a clue": (_clues(_swap_answers), True),
    "sharpen a clue to certainty": (_clues(_sharpen), False),
    "move a clue to another condition": (_move_clue, False),
    "flip a condition": (_flip_given, True),
    "lower a base rate": (_lower_rate, False),
    "trust a report too much": (_reliability, False),
    "let a path count for nothing": (_not_bears, True),
}


class Killer:
    """Runs mutants of one rules folder through the checks; the folder itself is not touched."""

    def __init__(self, folder: Path, scenarios: Path | None = None) -> None:
        self._folder, self._scenarios = folder, scenarios
        self._doubts = _doubts(load_knowledge(folder))

    def stage(self, mutant: Mutant) -> str | None:
        """The first check that objects to a mutant; None when all let it pass."""
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name) / "rules"
            shutil.copytree(self._folder, folder)
            text = yaml.safe_dump(mutant.document, sort_keys=False, allow_unicode=True, width=99)
            (folder / mutant.path).write_text(text, encoding="utf-8")
            try:
                base = load_knowledge(folder)
                evaluator = Evaluator(base)
            except InputError:
                return "load"
            return self._later_stage(base, evaluator)

    def _later_stage(self, base: KnowledgeBase, evaluator: Evaluator) -> str | None:
        from walltriage.study.prove.checks import Prover

        if run_cases(Slices(evaluator)):
            return "cases"
        if _doubts(base) - self._doubts:
            return "lints"
        if not all(proof.holds for proof in Prover(base).safety()):
            return "proofs"
        return "scenarios" if self._fails_scenarios(base) else None

    def _fails_scenarios(self, base: KnowledgeBase) -> bool:
        if self._scenarios is None:
            return False
        try:
            scenarios = read_scenarios(self._scenarios, base)
        except InputError:  # a scenario names a rule that is gone
            return True
        triager = Triager(base)
        return any(failures(triager, scenario) for scenario in scenarios)


def _doubts(base: KnowledgeBase) -> frozenset[str]:
    """What lints say of a base, without the places, which a rewritten file moves."""
    errors, warnings = run_lints(ALL_LINTS, base)
    return frozenset(problem.what for problem in (*errors, *warnings))
