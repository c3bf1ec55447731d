"""The result as JSON, in the form ``walltriage/finding/2``; same answers, same bytes."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from walltriage.inference.finding import Evidence, Finding, PathFinding, WallFinding
from walltriage.report.house_data import house_data, removal_numbers_data
from walltriage.report.number_data import wall_numbers_data
from walltriage.report.opening_data import opening_data

if TYPE_CHECKING:
    from walltriage.inference.looks.opening_plan import OpeningPlan
    from walltriage.inference.numbers.removal import Removal

FINDING_SCHEMA = "walltriage/finding/2"
PROBABILITY_DIGITS = 6
DECIBAN_DIGITS = 3


def finding_data(finding: Finding) -> dict[str, Any]:
    """The finding as plain data."""
    return {
        "schema": FINDING_SCHEMA,
        "case": finding.case,
        "rules": {"version": finding.rules_version, "sha256": finding.rules_sha256},
        "walls": [_wall(wall) for wall in finding.walls],
    } | ({} if finding.house is None else {"house": house_data(finding)})


def finding_line(
    finding: Finding,
    removal: Removal | None = None,
    plans: Mapping[str, OpeningPlan] | None = None,
) -> str:
    """One line of JSON, with what came out for a set of walls under ``remove``.

    ``plans`` are opening-up plans by wall, and stand under ``opening`` of their walls.
    """
    data = finding_data(finding)
    for wall in data["walls"]:
        if plans and wall["id"] in plans:
            wall["opening"] = opening_data(plans[wall["id"]])
    if removal is not None:
        data["remove"] = removal_data(removal)
    return json.dumps(data, ensure_ascii=True, separators=(", ", ": "))


def removal_data(removal: Removal) -> dict[str, Any]:
    """A removal as plain data."""
    return {
        "walls": list(removal.walls),
        "names": dict(removal.names),
        "together": removal.together,
        "alone": dict(removal.alone),
        "others_gone": dict(removal.others_gone),
        "reasons": list(removal.reasons),
        "numbers": removal_numbers_data(removal),
    }


def _wall(wall: WallFinding) -> dict[str, Any]:
    return {
        "id": wall.id,
        "verdict": wall.verdict,
        "probability": _interval(wall.probability),
        "leaning": None
        if wall.leaning is None
        else {"toward": wall.leaning.toward, "chance": wall.leaning.chance},
        "load_paths": [_path(path) for path in wall.load_paths],
        "why_not": [
            {"verdict": reason.verdict, "rule": reason.rule, "text": reason.text}
            for reason in wall.why_not
        ],
        "contradictions": [
            {
                "rule": clash.rule,
                "text": clash.text,
                "answers": [{"question": q, "answer": a} for q, a in clash.answers],
            }
            for clash in wall.contradictions
        ],
        "not_counted": [
            {"question": item.question, "answer": item.answer, "because": item.because}
            for item in wall.not_counted
        ],
        "next_checks": [
            {"question": check.question, "effort": check.effort, "why": check.why}
            for check in wall.next_checks
        ],
        "cautions": [
            {"rule": caution.rule, "text": caution.text, "source": caution.source}
            for caution in wall.cautions
        ],
        "referral": {"level": wall.referral.level, "text": wall.referral.text},
        "numbers": None if wall.numbers is None else wall_numbers_data(wall.numbers),
    }


def _path(path: PathFinding) -> dict[str, Any]:
    return {
        "id": path.id,
        "status": path.status,
        "probability": _interval(path.probability),
        "evidence": [_evidence(item) for item in path.evidence],
    }


def _evidence(item: Evidence) -> dict[str, Any]:
    weight = None if item.decibans is None else round(item.decibans, DECIBAN_DIGITS) + 0.0
    return {
        "rule": item.rule,
        "question": item.question,
        "answer": item.answer,
        "decibans": weight,
        "text": item.text,
        "source": item.source,
    }


def _interval(interval: tuple[float, float]) -> list[float]:
    return [round(bound, PROBABILITY_DIGITS) for bound in interval]
