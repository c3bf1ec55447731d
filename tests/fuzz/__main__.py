"""``python -m tests.fuzz --hours H`` or ``--inputs N``: figures at the end, 1 if anything broke."""

from __future__ import annotations

import argparse
import sys
import time

from tests.fuzz.run import Found, keep, run


def main() -> int:
    """Run, keep what broke something, and tell."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    until = parser.add_mutually_exclusive_group(required=True)
    until.add_argument("--hours", type=float, help="go on for so long")
    until.add_argument("--inputs", type=int, help="or for so many inputs")
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    started = time.monotonic()

    def going_on(found: Found) -> bool:
        if given.inputs is not None:
            return found.total < given.inputs
        return time.monotonic() - started < given.hours * 3600

    found = run(given.seed, going_on)
    for name, count in sorted(found.inputs.items()):
        print(f"{count:9,d}  {name}")
    print(f"{found.total:9,d}  inputs in {time.monotonic() - started:,.0f} s")
    print(f"{found.slowest:9.2f}  s of processor time for the slowest")
    print(f"{found.largest_mb:9.0f}  MB for the largest")
    print(f"{len(found.broken):9,d}  broke something")
    for name, _, what in found.broken[:20]:
        print(f"           {name}: {what}")
    for path in keep(found):
        print(f"kept: {path}")
    return 1 if found.broken else 0


if __name__ == "__main__":
    sys.exit(main())
