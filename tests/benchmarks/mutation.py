"""Put faults into the shipped rules and tell which checks notice them.

``python tests/benchmarks/mutation.py COUNT SEED [SCENARIOS]`` prints every mutant that lived
on, and a table by operator.  A thousand take about two hours on one core.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

import click

from walltriage.rules_folder import default_rules_folder
from walltriage.study.mutate import STAGES, Killer, Mutant, read_documents, sample


def main(count: int, seed: int, scenarios: Path | None) -> None:
    """Run ``count`` mutants and print what became of them."""
    folder = default_rules_folder()
    chosen = sample(read_documents(folder), count, seed)
    killer = Killer(folder, scenarios)
    fates: list[tuple[Mutant, str | None]] = []
    with click.progressbar(chosen, label="Mutants", file=sys.stderr) as bar:
        for mutant in bar:
            fates.append((mutant, killer.stage(mutant)))
            if fates[-1][1] is None:
                print(f"alive: {mutant.operator}: {mutant.path}: {mutant.where}", flush=True)
    print(f"{'operator':36}" + "".join(f"{stage:>10}" for stage in (*STAGES, "alive")))
    for operator in dict.fromkeys(mutant.operator for mutant, _ in fates):
        met = Counter(stage for mutant, stage in fates if mutant.operator == operator)
        print(f"{operator:36}" + "".join(f"{met[stage]:>10}" for stage in (*STAGES, None)))
    for safety, name in ((True, "safety class"), (False, "others")):
        group = [stage for mutant, stage in fates if mutant.safety == safety]
        if group:
            killed = sum(stage is not None for stage in group)
            print(f"{name}: {killed} of {len(group)} killed, {killed / len(group):.1%}")


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]), Path(sys.argv[3]) if len(sys.argv) > 3 else None)
