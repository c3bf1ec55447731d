"""Belief equals variable elimination in a general-purpose Bayesian-network library."""

from __future__ import annotations

import random

import numpy as np
import pytest

from tests.inference.answer_sets import random_answers
from walltriage.inference.belief.tree import Reported, decibans
from walltriage.inference.triage import Triager

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
        for name, state in result.paths.items():
            if state.reports and draw.random() < 0.5:
                theirs = networks[name].weight(state.reports)
                assert sum(state.weights.values()) == pytest.approx(theirs, abs=TOLERANCE_DB)
                compared += 1


class PathNetwork:
    """One load path as a network: path -> condition -> finding -> answer, all as CPTs."""

    def __init__(self, triager: Triager, path: str) -> None:
        self.entry = triager.base.paths[path]
        self.misread = triager.base.guards.reliability.condition_misread

    def weight(self, reports: list[Reported]) -> float:
        """Decibans for bearing given the answers, by variable elimination."""
        from pgmpy.factors.discrete import TabularCPD
        from pgmpy.inference import VariableElimination
        from pgmpy.models import DiscreteBayesianNetwork

        network = DiscreteBayesianNetwork()
        network.add_node("H")
        network.add_cpds(TabularCPD("H", 2, [[0.5], [0.5]]))
        evidence = {}
        for condition in dict.fromkeys(report.condition for report in reports):
            given = self.entry.conditions[condition][1]
            table = (
                np.array([list(given.bearing.values()), list(given.not_bearing.values())]).T / 100
            )
            table = (1 - self.misread) * table + self.misread * table.mean(axis=1, keepdims=True)
            network.add_edge("H", condition)
            network.add_cpds(TabularCPD(condition, len(table), table, ["H"], [2]))
        for report in reports:
            clue = next(c for c in self.entry.clues[report.condition] if c.id == report.clue)
            shown = np.array([list(row.values()) for row in clue.shows.values()]).T / 100
            values = list(next(iter(clue.shows.values())))
            said = report.reliability * np.eye(len(values)) + (1 - report.reliability) * shown.mean(
                axis=1, keepdims=True
            )
            finding, answer = f"S:{clue.id}", f"A:{clue.id}"
            network.add_edges_from([(report.condition, finding), (finding, answer)])
            network.add_cpds(
                TabularCPD(finding, len(values), shown, [report.condition], [shown.shape[1]]),
                TabularCPD(answer, len(values), said, [finding], [len(values)]),
            )
            evidence[answer] = values.index(report.value)
        network.check_model()
        posterior = VariableElimination(network).query(["H"], evidence, show_progress=False)
        return decibans(posterior.values[0], posterior.values[1])
