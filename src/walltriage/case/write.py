"""Write case files so that a crash never leaves half a file."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path
from typing import Any

import yaml

from walltriage.case.model import CASE_SCHEMA, Answer, Answers, Case
from walltriage.errors import InputError, Problem


def case_data(case: Case) -> dict[str, Any]:
    """The case as plain data in the order of the case-file contract."""
    data: dict[str, Any] = {"schema": CASE_SCHEMA, "name": case.name}
    if case.story:
        data["story"] = case.story
    data |= {"for": case.role, "reach": case.reach, "units": case.units}
    data["house"] = _answers_data(case.house)
    data["walls"] = [
        {"id": wall.id}
        | ({"name": wall.name} if wall.name else {})
        | {"answers": _answers_data(wall.answers)}
        for wall in case.walls
    ]
    if case.asked:
        data["asked"] = [f"{step.subject}/{step.question}" for step in case.asked]
    if case.outcome is not None:
        data["outcome"] = case.outcome
    return data


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


def write_text(path: Path, text: str) -> None:
    """:func:`write_bytes` of the text in UTF-8."""
    write_bytes(path, text.encode("utf-8"))


def write_bytes(path: Path, content: bytes) -> None:
    """Replace ``path`` with ``content`` in one step, readable by the owner alone.

    Raises :class:`InputError` when the folder is missing or not writable, or the
    disk is full; the old file then stays as it was.
    """
    temporary = ""
    try:
        handle, temporary = tempfile.mkstemp(prefix=f".{path.name[:40]}.", dir=path.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        Path(temporary).replace(path)
    except OSError as error:
        with contextlib.suppress(OSError):
            if temporary:
                Path(temporary).unlink()
        reason = (error.strerror or "cannot be written").lower()
        problem = Problem(str(path), 0, 0, f"cannot be written: {reason}", "give another place")
        raise InputError(problem) from None
