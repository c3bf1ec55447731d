"""A row for each kind of person: what a second look at a wall's top is worth: SEED WALLS.

python -m tests.lab_second_look 1701 20000
"""

from __future__ import annotations

import sys

from walltriage.knowledge.load import load_knowledge
from walltriage.lab.reporter import REPORTERS
from walltriage.lab.second_look import SecondLook, second_look
from walltriage.rules_folder import default_rules_folder

HEAD = (
    "| person | bearing tops looked at | told clear, one look | again, same place "
    "| again, place measured anew | two unconnected people |\n|---|---|---|---|---|---|"
)


def main(words: list[str]) -> None:
    seed, walls = (int(word) for word in words[:2])
    base = load_knowledge(default_rules_folder())
    print(HEAD)
    for reporter in REPORTERS:
        print(row(reporter, second_look(base, seed, walls, reporter)), flush=True)


def row(reporter: str, worth: SecondLook) -> str:
    def cell(count: float) -> str:
        return f"{count / worth.told:.2%}" if worth.told else "none"

    return (
        f"| {reporter} | {worth.told} | {cell(worth.once)} | {cell(worth.same)} "
        f"| {cell(worth.measured)} | {cell(worth.if_apart)} |"
    )


if __name__ == "__main__":
    main(sys.argv[1:])
