"""One row for each file of kept answers, judged by the rules as they stand: FILES.npz...

python -m tests.lab_table kept/*.npz
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.knowledge.load import load_knowledge
from walltriage.lab.answers import load_answers
from walltriage.lab.measures import measure
from walltriage.lab.where_asked import where_asked
from walltriage.rules_folder import default_rules_folder

HEAD = (
    "| answers | missed (95 % bound) | hall twins | NB recognised, all / framing seen "
    "| bearing recognised / precision | NB called bearing | wrong among NB | bracing only "
    "called NB | slope |\n|---|---|---|---|---|---|---|---|---|"
)


def main(files: list[str]) -> None:
    evaluator = ColumnEvaluator(load_knowledge(default_rules_folder()))
    print(f"Rules {evaluator.base.sha256[:10]}.  NB = non-bearing.  Simulated; no field rate.\n")
    print(HEAD)
    leanings = []
    for file in files:
        batch, truth = load_answers(Path(file), evaluator.coder)
        found = measure(evaluator.evaluate(where_asked(evaluator, batch)), truth)
        print(row(Path(file).stem, found), flush=True)
        leanings.append((Path(file).stem, found))
    print(
        "\nMissed by path and by kind of house (only where any), and the leaning of open walls:\n"
    )
    for name, found in leanings:
        print(f"* {name}: {details(found)}")


def row(name: str, found: dict[str, Any]) -> str:
    miss, twin = found["missed"], found["missed_hall_twins"]
    bracing = found["bracing_only_called_nonbearing"]
    seen = found["nonbearing_recognised_where_seen"]
    return (
        f"| {name} | {miss['count']} of {miss['of']} ({miss['bound95']:.3%}) "
        f"| {twin['count']} of {twin['of']} ({twin['bound95']:.2%}) "
        f"| {percent(found['nonbearing_recognised'])} / {percent(seen)} "
        f"| {percent(found['bearing_recognised'])} / {percent(found['bearing_precision'])} "
        f"| {percent(found['nonbearing_called_bearing'])} "
        f"| {percent(found['wrong_among_nonbearing'])} "
        f"| {bracing['count']} of {bracing['of']} | {found['slope']:.2f} |"
    )


def details(found: dict[str, Any]) -> str:
    some = [
        f"{name} {cell['count']} of {cell['of']}"
        for table in ("missed_by_path", "missed_by_kind")
        for name, cell in found[table].items()
        if cell["count"]
    ]
    steps = [
        f"{step['from']:g} to {step['to']:g}: {step['walls']}, bore {percent(step['bore'])}"
        for step in found["leaning"]
    ]
    return (", ".join(some) or "none missed") + ". Open walls: " + "; ".join(steps) + "."


def percent(value: float | None) -> str:
    return "none" if value is None else f"{value:.1%}"


if __name__ == "__main__":
    main(sys.argv[1:])
