"""Hold the logic of the proofs against the program on many random answer sets.

``python -m tests.benchmarks.logic COUNT SEED``: 10,000 take about ten minutes on one core.  The
program's side goes through the columns, which ``tests.inference.same_results`` holds equal to the
engine.
"""

from __future__ import annotations

import sys

import click

from tests.unit.prove.logic import random_sets, rules_that_differ, through_columns
from walltriage.knowledge.load import load_knowledge
from walltriage.prove.prover import Prover
from walltriage.rules_folder import default_rules_folder


def main(count: int, seed: int) -> int:
    """How many sets differ; each is printed."""
    prover = Prover(load_knowledge(default_rules_folder()))
    sets = random_sets(prover, count, seed)
    result, differ = through_columns(prover, sets), 0
    with click.progressbar(range(count), label="Answer sets", file=sys.stderr) as rows:
        for row in rows:
            found = rules_that_differ(prover, prover.solver, sets[row], result, row)
            if found:
                differ += 1
                print(f"set {row} of seed {seed}: {', '.join(sorted(found))}", flush=True)
    print(f"{count} random answer sets, seed {seed}: {differ} differ")
    return differ


if __name__ == "__main__":
    sys.exit(bool(main(int(sys.argv[1]), int(sys.argv[2]))))
