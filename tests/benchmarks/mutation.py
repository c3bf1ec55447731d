"""Put faults into the shipped rules and tell which checks notice them.

``python -m tests.benchmarks.mutation --count 1000 --log FILE`` prints every mutant that lived on,
then a table by kind of fault.  Interrupted, it goes on with ``--resume``.
"""

from __future__ import annotations

import sys
from pathlib import Path

import click

from tests.mutants.mutant import mutants
from tests.mutants.run import MutationPlan, run, table
from walltriage.errors import InputError
from walltriage.knowledge.load import parsed_files
from walltriage.rules_folder import default_rules_folder

SCENARIOS = Path(__file__).resolve().parents[1] / "rules"
EVERY = 1_000_000  # more than there are


@click.command()
@click.option("--count", type=click.IntRange(1), default=EVERY, help="How many; all when left out.")
@click.option("--seed", type=int, default=1, show_default=True, help="Which of them.")
@click.option("--log", type=click.Path(path_type=Path), required=True, help="Where fates are kept.")
@click.option("--resume", is_flag=True, help="Pick up an interrupted run.")
@click.option("--cores", type=click.IntRange(1, 64), default=1, show_default=True)
def main(count: int, seed: int, log: Path, resume: bool, cores: int) -> None:
    """Run mutants of the shipped rules and print what became of them."""
    rules = default_rules_folder()
    plan = MutationPlan(rules, SCENARIOS, count, seed, log, cores)
    length = min(count, sum(1 for _ in mutants(parsed_files(rules))))
    with click.progressbar(length=length, label="Mutants", file=sys.stderr) as bar:
        fates = run(plan, resume, lambda: bar.update(1))
    for fate in fates:
        if fate.stage is None:
            print(f"alive{' (safety)' if fate.mutant.safety else ''}: {fate.mutant.key}")
    print(table(fates))


if __name__ == "__main__":
    try:
        main(standalone_mode=False)
    except InputError as error:
        sys.exit("\n".join(str(problem) for problem in error.problems))
    except click.exceptions.Abort:
        sys.exit(130)
    except click.ClickException as error:
        error.show()
        sys.exit(2)
