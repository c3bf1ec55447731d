"""Everything that is measured, as one table.

    python -m tests.benchmarks [--quick]

Medians of this one run; ratios are of medians.  Times on one core are processor time, so
that others on the machine count little; what a person waits for is by the clock too.
Takes some ten minutes, or three with ``--quick``.
"""

from __future__ import annotations

import argparse

from tests.benchmarks import bulk, house_walls, interactive, many_rules
from tests.benchmarks.table import Table


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--quick", action="store_true", help="fewer repeats, smaller batches")
    quick = parser.parse_args().quick
    table = Table()
    table.head()
    interactive.measure(table, quick)
    house_walls.measure(table)
    house_walls.growth(table, quick)
    bulk.measure(table, quick)
    many_rules.growth(table, quick)
    table.foot()


if __name__ == "__main__":
    main()
