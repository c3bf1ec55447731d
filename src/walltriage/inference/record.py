"""What came out of a case, in the short form that a transcript keeps and a replay compares."""

from __future__ import annotations

from typing import Any

from walltriage.inference.finding import Finding
from walltriage.language import say

DIGITS = 6


def outcome(finding: Finding) -> dict[str, Any]:
    """Rules version, and for each wall verdict, interval, path statuses and rules fired."""
    return {
        "rules": {"version": finding.rules.version, "sha256": finding.rules.sha256},
        "walls": [
            {
                "id": wall.id,
                "verdict": wall.verdict,
                "probability": [round(bound, DIGITS) for bound in wall.probability],
                "load_paths": {path.id: path.status for path in wall.load_paths},
                "fired": [fired.rule for fired in wall.trace],
            }
            for wall in finding.walls
        ],
    }


def differences(recorded: Any, now: dict[str, Any]) -> list[str]:
    """How verdicts, path statuses and fired rules differ from the record, in plain lines."""
    if not isinstance(recorded, dict) or not isinstance(recorded.get("walls"), list):
        return [say("the record holds no outcome to compare with")]
    then = {str(wall.get("id")): wall for wall in recorded["walls"] if isinstance(wall, dict)}
    found = []
    for wall in now["walls"]:
        old = then.pop(wall["id"], None)
        if old is None:
            found.append(say("{wall}: not in the record", wall=wall["id"]))
            continue
        if old.get("verdict") != wall["verdict"]:
            found.append(
                say(
                    "{wall}: verdict {before} -> {now}",
                    wall=wall["id"],
                    before=old.get("verdict"),
                    now=wall["verdict"],
                )
            )
        paths = old.get("load_paths") or {}
        for path, status in wall["load_paths"].items():
            if paths.get(path) != status:
                found.append(f"{wall['id']}: {path} {paths.get(path)} -> {status}")
        before, after = old.get("fired") or [], wall["fired"]
        found += [
            say("{wall}: rule {rule} no longer fires", wall=wall["id"], rule=r)
            for r in before
            if r not in after
        ]
        found += [
            say("{wall}: rule {rule} now fires", wall=wall["id"], rule=r)
            for r in after
            if r not in before
        ]
    found += [say("{wall}: in the record, not in the case", wall=wall_id) for wall_id in then]
    return found
