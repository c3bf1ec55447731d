"""The readers fed by a fuzzer that sees which lines each input reaches.

``python -m tests.fuzz.guided READER -runs=N`` (any option of libFuzzer) goes on from the seeds
and from what is kept; an input that breaks something is kept under ``tests/fuzz/corpus`` and
ends the run with its traceback.  Needs the extra ``fuzz``.
"""

from __future__ import annotations

import sys
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["walltriage"]):
    from tests.fuzz.run import Found, feed, keep
    from tests.fuzz.targets import TARGETS, Broken, scratch


def main() -> None:
    """Feed one reader until libFuzzer has enough; it ends the process itself."""
    by_name = {target.name: target for target in TARGETS}
    if len(sys.argv) < 2 or sys.argv[1] not in by_name:
        sys.exit(f"expected a reader: {', '.join(by_name)}")
    target, found = by_name[sys.argv[1]], Found()
    with scratch() as place:
        folder, seeds = Path(place, "fed"), Path(place, "seeds")
        folder.mkdir()
        seeds.mkdir()
        for number, data in enumerate(target.corpus()):
            (seeds / str(number)).write_bytes(data)

        def one(data: bytes) -> None:
            feed(target, folder, data, found)
            if found.broken:
                raise Broken(f"{found.broken[0][2]}; kept as {keep(found)[0]}")

        atheris.Setup([sys.argv[0], *sys.argv[2:], str(seeds)], one)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
