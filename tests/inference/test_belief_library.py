"""Belief equals variable elimination in a general-purpose Bayesian-network library."""

from __future__ import annotations

import random

import numpy as np
import pytest

from tests.inference.answer_sets import random_answers
from walltriage.case.model import Answer
from walltriage.inference.belief.tree import Reported, decibans
from walltriage.inference.engine.evaluate import Evaluation
from walltriage.inference.triage import Triager
from walltriage.knowledge.schema import Clue

SETS = 500
TOLERANCE_DB = 1e-9

pytestmark = [pytest.mark.extras, pytest.mark.filterwarnings("ignore")]


@pytest.mark.parametrize("rules", ["small", "full"])
def test_weights_equal_variable_elimination(rules, request):
    """On 500 random answer sets each path's weight agrees to 1e-9 decibans."""
    pytest.importorskip("pgmpy")
    triager: Triager = request.getfixturevalue(rules)
    networks = {name: PathNetwork(triager, name) for name in triager.base.paths}
    draw, compared, seed = random.Random(20), 0, 0
    while compared < SETS:
        seed += 1
        answers = random_answers(triager.base, seed, draw.uniform(0.3, 1.0))
        result = triager.evaluator.evaluate(answers)
        facts = facts_of(triager, result)
        for name, state in result.paths.items():
            if state.reports and draw.random() < 0.5:
                theirs = networks[name].weight(state.reports, facts)
                assert decibans(state.ratio, 1.0) == pytest.approx(theirs, abs=TOLERANCE_DB)
                compared += 1


BARE = {
    "opened_top": "clear_all_along", "opened_joist_end": "gap_or_none",
    "opened_extent": "whole_top", "wall_height": "reaches_ceiling", "above_wall": "only_attic",
}  # fmt: skip


def test_weights_of_a_bare_top_equal_variable_elimination(full):
    """Where a condition is misread less, which random answers hardly ever bring about."""
    pytest.importorskip("pgmpy")
    bare = {question: Answer(value, None, value) for question, value in BARE.items()}
    networks = {name: PathNetwork(full, name) for name in ("framing_above", "roof_struts")}
    for seed in range(20):
        result = full.evaluator.evaluate(random_answers(full.base, seed, 0.3) | bare)
        facts = facts_of(full, result)
        assert facts["top_laid_bare"] == "yes"
        for name, network in networks.items():
            state = result.paths[name]
            theirs = network.weight(state.reports, facts)
            assert decibans(state.ratio, 1.0) == pytest.approx(theirs, abs=TOLERANCE_DB)


def facts_of(triager: Triager, result: Evaluation) -> dict[str, str]:
    """The facts of the situation that rules concluded, the first of each name."""
    fired = {firing.rule for firing in result.fired("fact")}
    facts: dict[str, str] = {}
    for rule in triager.base.facts:
        if rule.id in fired:
            for name, value in rule.concludes.items():
                facts.setdefault(name, value)
    return facts


class PathNetwork:
    """One load path as a network: path -> condition -> what could be seen of it -> finding ->
    answer, beside a node for whether the look along the top took in a part only; all as CPTs."""

    def __init__(self, triager: Triager, path: str) -> None:
        self.base, self.entry = triager.base, triager.base.paths[path]
        self.misread = triager.base.guards.reliability.condition_misread

    def weight(self, reports: list[Reported], facts: dict[str, str]) -> float:
        """Decibans for bearing given the answers, by variable elimination."""
        from pgmpy.factors.discrete import TabularCPD
        from pgmpy.inference import VariableElimination
        from pgmpy.models import DiscreteBayesianNetwork

        network = DiscreteBayesianNetwork()
        network.add_node("H")
        network.add_cpds(TabularCPD("H", 2, [[0.5], [0.5]]))
        part = self.seen_in_part(facts)
        network.add_node("L")
        network.add_cpds(TabularCPD("L", 2, [[1 - part], [part]]))
        evidence, visible = {}, set()
        for condition in dict.fromkeys(report.condition for report in reports):
            table = self.given(condition, facts)
            network.add_edge("H", condition)
            network.add_cpds(TabularCPD(condition, len(table), table, ["H"], [2]))
        for report in reports:
            clue = next(c for c in self.entry.clues[report.condition] if c.id == report.clue)
            shown = np.array([list(row.values()) for row in clue.shows.values()]).T / 100
            values = list(next(iter(clue.shows.values())))
            said = report.reliability * np.eye(len(values)) + (1 - report.reliability) * shown.mean(
                axis=1, keepdims=True
            )
            source, states = report.condition, shown.shape[1]
            if self.along_top(clue):
                source = f"V:{report.condition}"
                if source not in visible:
                    visible.add(source)
                    network.add_edges_from([(report.condition, source), ("L", source)])
                    seen = self.visible(report.condition)
                    network.add_cpds(
                        TabularCPD(source, states, seen, [report.condition, "L"], [states, 2])
                    )
            finding, answer = f"S:{clue.id}", f"A:{clue.id}"
            network.add_edges_from([(source, finding), (finding, answer)])
            network.add_cpds(
                TabularCPD(finding, len(values), shown, [source], [states]),
                TabularCPD(answer, len(values), said, [finding], [len(values)]),
            )
            evidence[answer] = values.index(report.value)
        network.check_model()
        posterior = VariableElimination(network).query(["H"], evidence, show_progress=False)
        return decibans(posterior.values[0], posterior.values[1])

    def along_top(self, clue: Clue) -> bool:
        partial = self.base.guards.partial_look
        return partial is not None and self.base.questions[clue.question].place == partial.place

    def seen_in_part(self, facts: dict[str, str]) -> float:
        partial = self.base.guards.partial_look
        if partial is None:
            return 0.0
        return partial.in_100.get(facts.get(partial.fact, ""), partial.otherwise) / 100

    def given(self, condition: str, facts: dict[str, str]) -> np.ndarray:
        """P(state | bears, does not), the condition's whole misreading mixed in."""
        defined, given = self.entry.conditions[condition]
        variants = defined.given_where if given is defined.given else []
        misread = self.misread
        for variant in variants:
            if facts.get(variant.fact) == variant.value:
                given = variant.given or given
                misread = self.misread if variant.misread is None else variant.misread
                break
        sides = [[side[s] for s in defined.states] for side in (given.bearing, given.not_bearing)]
        table = np.array(sides).T / 100
        return (1 - misread) * table + misread * table.mean(axis=1, keepdims=True)

    def visible(self, condition: str) -> np.ndarray:
        """P(what could be seen | state, the whole top or a part of it)."""
        defined = self.entry.conditions[condition][0]
        states = list(defined.states)
        table = np.zeros((len(states), len(states), 2))
        for column, state in enumerate(states):
            table[column, column] = 1.0
            for other, share in defined.seen_in_part.get(state, {}).items():
                table[column, column, 1] -= share / 100
                table[states.index(other), column, 1] += share / 100
        return table.reshape(len(states), -1)
