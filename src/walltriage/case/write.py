"""Write case files so that a crash never leaves half a file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

from walltriage.case.looks_write import looks_data
from walltriage.case.model import CASE_SCHEMA, Answer, Answers, Case, Step
from walltriage.case.plan_write import plan_data
from walltriage.files import write_text


def case_data(case: Case) -> dict[str, Any]:
    """The case as plain data in the order of the case-file contract."""
    data: dict[str, Any] = {"schema": CASE_SCHEMA, "name": case.name}
    if case.story:
        data["story"] = case.story
    data |= {"for": case.role, "reach": case.reach, "units": case.units}
    if case.client:
        data["client"] = dict(case.client)
    if case.plan is not None:
        data["plan"] = plan_data(case.plan)
    data["house"] = _answers_data(case.house)
    data["walls"] = [
        {"id": wall.id}
        | ({"name": wall.name} if wall.name else {})
        | {"answers": _answers_data(wall.answers)}
        | ({} if wall.looks is None else {"looks": looks_data(wall.looks)})
        for wall in case.walls
    ]
    if case.asked:
        data["asked"] = [_step_text(step) for step in case.asked]
    if case.to_name:
        data["to_name"] = [_step_text(step) for step in case.to_name]
    if case.drawing is not None:
        data["drawing"] = {"of": case.drawing.of, "replies": list(case.drawing.replies)}
    if case.outcome is not None:
        data["outcome"] = case.outcome
    return data


def _step_text(step: Step) -> str:
    return f"{step.subject}/{step.question}" + (f"@{step.glance}" if step.glance else "")


def _answers_data(answers: Answers) -> dict[str, Any]:
    return {name: _answer_data(answer) for name, answer in answers.items()}


def _answer_data(answer: Answer) -> Any:
    value = answer.given or answer.value
    more = {key: getattr(answer, key) for key in ("by", "seen_on", "note") if getattr(answer, key)}
    if answer.sure != "certain":
        more = {"sure": answer.sure} | more
    return {"value": value, **more} if more else value


def case_text(case: Case) -> str:
    """The case as YAML text."""
    return yaml.safe_dump(case_data(case), sort_keys=False, allow_unicode=True, width=100)


def write_case(path: Path, case: Case) -> None:
    """Write a case file atomically."""
    write_text(path, case_text(case))
