"""Feed inputs and watch: no exception but a refusal with its place, none too slow or large."""

from __future__ import annotations

import contextlib
import hashlib
import random
import resource
import signal
import time
import traceback
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.fuzz.mutate import mutated
from tests.fuzz.targets import TARGETS, Target, scratch

MOST_SECONDS = 2.0  # of processor time for one input
HANGS_AFTER = 90  # seconds by the clock, on a machine with other work
MOST_GROWTH_MB = 300


class HangsError(Exception):
    """An input took too long by the clock."""


@dataclass
class Found:
    """What came of a run."""

    inputs: Counter[str] = field(default_factory=Counter)
    slowest: float = 0.0  # seconds of processor time
    largest_mb: float = 0.0
    broken: list[tuple[str, bytes, str]] = field(default_factory=list)

    @property
    def total(self) -> int:
        return sum(self.inputs.values())


def feed(target: Target, folder: Path, data: bytes, found: Found) -> None:
    """One input; what it breaks is noted."""
    before, held = time.process_time(), _from_here()
    what = ""
    signal.setitimer(signal.ITIMER_REAL, HANGS_AFTER)
    try:
        target.feed(folder, data)
    except Exception as error:
        where = traceback.extract_tb(error.__cause__.__traceback__ if error.__cause__ else
                                     error.__traceback__)[-1]  # fmt: skip
        cause = error.__cause__ or error
        what = f"{type(cause).__name__}: {cause} ({Path(where.filename).name}:{where.lineno})"
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
    seconds = time.process_time() - before
    if not what and seconds > MOST_SECONDS and found.inputs[target.name]:
        what = f"{seconds:.1f} s"  # the first input of a kind reads the rules as well
    grown = _peak_mb() - held
    if not what and grown > MOST_GROWTH_MB:
        what = f"{grown:.0f} MB more"
    if found.inputs[target.name]:
        found.slowest = max(found.slowest, seconds)
        found.largest_mb = max(found.largest_mb, grown)
    found.inputs[target.name] += 1
    if what:
        found.broken.append((target.name, data, what))


def run(seed: int, going_on: Callable[[Found], bool]) -> Found:
    """First all that is kept, then mutations of it for as long as ``going_on`` says."""
    found, draw = Found(), random.Random(seed)
    corpora = {target.name: target.corpus() for target in TARGETS}
    shares = [target.share for target in TARGETS]
    signal.signal(signal.SIGALRM, _hangs)
    with scratch() as place:
        folder = Path(place)
        for target in TARGETS:
            for data in corpora[target.name]:
                feed(target, folder, data, found)
        while going_on(found):
            (target,) = draw.choices(TARGETS, shares)
            corpus = corpora[target.name]
            feed(target, folder, mutated(draw.choice(corpus), corpus, draw), found)
    return found


def keep(found: Found) -> list[Path]:
    """Put inputs that broke something into the corpus, one for each way of breaking."""
    kept, seen = [], set()
    targets = {target.name: target for target in TARGETS}
    for name, data, what in sorted(found.broken, key=lambda broken: len(broken[1])):
        if (name, what[-40:]) not in seen:
            seen.add((name, what[-40:]))
            path = targets[name].kept / hashlib.sha256(data).hexdigest()[:12]
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
            kept.append(path)
    return kept


def _from_here() -> float:
    """Measure the peak anew, where the system lets one; the memory in use now, in MB."""
    with contextlib.suppress(OSError):
        Path("/proc/self/clear_refs").write_text("5")
    return _peak_mb()


def _peak_mb() -> float:
    with contextlib.suppress(OSError):
        for line in Path("/proc/self/status").read_text().splitlines():
            if line.startswith("VmHWM:"):
                return int(line.split()[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def _hangs(*_: Any) -> None:
    raise HangsError(f"nothing came in {HANGS_AFTER} s")
