"""The knowledge base as the published checks see it: fire rules, weigh single answers."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from walltriage.inference.belief import logit_db
from walltriage.inference.evaluate import Evaluation, Evaluator
from walltriage.inference.rule_cases import case_answers
from walltriage.knowledge.load import load_knowledge

ROOT = Path(__file__).resolve().parents[2]
DATA = Path(__file__).parent / "data"
# answers of a wall that comes out likely non-bearing, for checks that need that verdict
NON_BEARING = {
    "house_kind": "detached", "walls_made_of": "wood_frame", "year_built": 1988,
    "house_history": "none_of_these", "house_movement": "none_of_these",
    "house_exposure": "none_of_these", "above_wall": "only_attic", "wall_place": "inside",
    "wall_against_ridge": "across_ridge", "attic_frame": "trusses", "truss_plates": "plates",
    "wall_top": "clear_all_along", "truss_at_wall": "gap_or_slot_clips", "truss_run": "along",
    "attic_round": "none_of_these", "round_the_wall": "none_of_these",
    "under_wall": "open_joists", "post_below": "none",
}  # fmt: skip


@cache
def evaluator() -> Evaluator:
    return Evaluator(load_knowledge(ROOT / "rules"))


def read(name: str) -> dict[str, Any]:
    return yaml.safe_load((DATA / name).read_text(encoding="utf-8"))


def evaluate(answers: Mapping[str, Any]) -> Evaluation:
    """One wall with exactly these answers."""
    known = evaluator()
    return known.evaluate(case_answers(known, answers))


def fired(answers: Mapping[str, Any]) -> set[str]:
    return {firing.rule for firing in evaluate(answers).firings}


def clue_weights(clue_id: str, answers: Mapping[str, Any]) -> list[float]:
    """Decibans of this clue alone, on each path that reads it; empty when it does not fire."""
    known = evaluator()
    made = case_answers(known, answers)
    state = known.evaluate(made)
    weights = []
    for path, found in state.paths.items():
        for report in found.reports:
            if report.clue == clue_id:
                table = known.belief.tables[path][report.condition]
                weights.append(table.weight([report]))
    return weights


def rate_interval(path: str, answers: Mapping[str, Any]) -> tuple[str, float, float]:
    """Id and interval (decibans) of the base rate that holds on a path."""
    rate = evaluate(answers).paths[path].base_rate
    low, high = (logit_db(min(max(share / 100, 1e-6), 1 - 1e-6)) for share in rate.in_100)
    return rate.id, low, high
