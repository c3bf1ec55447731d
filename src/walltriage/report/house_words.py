"""The whole house and a set of walls in words, the same on a terminal and on paper."""

from __future__ import annotations

from walltriage.inference.finding import Finding
from walltriage.inference.numbers.removal import Removal
from walltriage.report import words

HOUSE_TITLE = "The house as a whole"
HOUSE_NOTE = "Preliminary: for an engineer to check."
TOGETHER_WORDS = {
    "carries": (
        "AT LEAST ONE OF THEM PROBABLY CARRIES",
        "None of this without a licensed engineer's design for what carries the load instead.",
    ),
    "open": (
        "CANNOT BE TOLD FOR THE SET",
        "At least one of the walls cannot be told, so the set cannot either.",
    ),
    "not_together": (
        "NO CLEAR ANSWER FOR THE SET",
        "Each wall alone is likely non-bearing, but not all of them together. "
        "A licensed engineer has to look at the set.",
    ),
    "non_bearing_together": (
        "LIKELY NON-BEARING, ALONE AND TOGETHER",
        "Nothing found speaks against the set. All that is said of each wall still holds; show "
        "this to whoever looks at the house before work begins.",
    ),
}


def house_lines(finding: Finding) -> tuple[str, ...]:
    """Needed lines, collected loads, findings and what was assumed; nothing without a plan."""
    house = finding.house
    if house is None or not (house["lines"] or house["findings"]):
        return ()
    assumed = (f"assumed: {text}" for text in house["assumed"])
    return (*house["lines"], *house["findings"], *assumed)


def removal_title(removal: Removal) -> str:
    """Which walls would go, by name."""
    return "If these went together: " + ", ".join(removal.names.values())


def removal_verdicts(removal: Removal) -> list[str]:
    """Each wall as it stands, and with the others gone."""
    told = []
    for wall, name in removal.names.items():
        now = words.VERDICT_WORDS[removal.alone[wall]].lower()
        then = words.VERDICT_WORDS[removal.others_gone[wall]].lower()
        others = f"; with the others gone: {then}" if len(removal.walls) > 1 else ""
        told.append(f"{name}, as it stands: {now}{others}")
    return told


def removal_numbers(removal: Removal) -> tuple[str, ...]:
    """Spans, moved loads, members and ways down, in sentences."""
    return (*removal.numbers["lines"], *removal.numbers["findings"])
